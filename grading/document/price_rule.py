"""The price rule of an order form: what goes into the price of a bag besides its materials."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from grading.document.prices import Amount, Currency
from grading.document.values import Expression, Factor, Length, Name, Part, Percentage, Text, fault
from grading.exact import read_length, read_number, read_percentage

MOST_DAYS = 365
GREATEST_MULTIPLE = 1_000_000
NOTHING = Fraction(0)


def _from_nothing(value: str | float) -> str | float:
    if read_number(value) < 0:
        raise fault(f"{value} minutes are below 0", "give a number of 0 or more")
    return value


def _share(value: str) -> str:
    if not 0 <= (read_percentage(value) or 0) < 1:
        raise fault(f"{value} is no such share", "give a percentage from 0 % to below 100 %")
    return value


def _markup(value: str) -> str:
    if not 0 <= (read_percentage(value) or 0) <= 100:
        raise fault(f"{value} is no markup", "give a percentage from 0 % to 10000 %")
    return value


def _above_nothing(value: str | float) -> str | float:
    if read_length(value) <= 0:
        raise fault(f"{value} is not above 0", "give a length above 0")
    return value


Minutes = Annotated[Factor, AfterValidator(_from_nothing)]
Share = Annotated[Percentage, AfterValidator(_share)]


class WorkByLength(Part):
    """Work that takes longer the longer something is."""

    of: Expression = Field(
        description="The length, of the printed dimensions; without pi and roots.", examples=["2*width + 2*height"]
    )
    per: Annotated[Length, AfterValidator(_above_nothing)] = Field(
        description="The length that takes so many minutes.", examples=["100 mm"]
    )
    minutes: Minutes = Field(description="The minutes for each of these lengths.", examples=["3/2"])


class MinutesOfWork(Part):
    """How long one activity takes for one bag."""

    fixed: Minutes = Field(0, description="Minutes in every size.", examples=[40])
    by_length: tuple[WorkByLength, ...] = Field(
        (),
        max_length=20,
        description="Minutes that go by a length.",
        examples=[[{"of": "width", "per": "1 m", "minutes": 8}]],
    )
    sizes: dict[Name, Minutes] = Field(
        {}, max_length=200, description="Minutes of sizes asked by name, in place of all else.", examples=[{"mini": 90}]
    )


class Extra(Part):
    """What an order costs besides: packaging, postage."""

    what: Text = Field(min_length=1, description="What it is.", examples=["packaging"])
    amount: Amount = Field(description="What it costs.", examples=["1.20"])
    per: Literal["bag", "order"] = Field("bag", description="Whether for each bag or once.", examples=["order"])
    at_cost: bool = Field(False, description="Whether it is passed on without a margin.", examples=[True])


class Fees(Part):
    """What is taken off a payment."""

    share: Share = Field("0 %", description="A part of all that is paid, tax and all.", examples=["2.9 %"])
    fixed: Amount = Field("0", description="An amount for each payment.", examples=["0.30"])


class Tax(Part):
    """The tax on a price, as the workshop gives it."""

    says: Text = Field(min_length=1, description="Its name, as it is printed.", examples=["VAT 19 %"])
    rate: Share = Field(description="Its rate, on the price before it.", examples=["19 %"])


class PriceRule(Part):
    """How a price comes about; section 18 of the reference has every line."""

    currency: Currency = Field(description="The currency, its three capital letters by ISO 4217.", examples=["EUR"])
    hour: Amount = Field(description="What an hour of work is paid.", examples=["32.00"])
    minutes: dict[Name, Minutes | MinutesOfWork] = Field(
        {},
        max_length=40,
        description="How long each activity takes for one bag.",
        examples=[{"cut": 35, "sew": {"fixed": 120, "sizes": {"mini": 90}}}],
    )
    also: tuple[Extra, ...] = Field(
        (),
        max_length=40,
        description="What an order costs besides.",
        examples=[[{"what": "packaging", "amount": "1.20"}]],
    )
    spoiled: Share = Field("0 %", description="For pieces that are made anew.", examples=["3 %"])
    margin: Share | None = Field(
        None, description="The part of the price before fees and tax that is left.", examples=["30 %"]
    )
    markup: Annotated[Percentage, AfterValidator(_markup)] | None = Field(
        None, description="What is added to the costs, in place of a margin.", examples=["60 %"]
    )
    fees: Share | Fees = Field(
        "0 %", description="What is taken off the payment.", examples=["4 %", {"share": "2.9 %", "fixed": "0.30"}]
    )
    tax: Tax | None = Field(None, description="The tax.", examples=[{"says": "VAT 19 %", "rate": "19 %"}])
    round_to: int | None = Field(
        None,
        ge=1,
        le=GREATEST_MULTIPLE,
        description="The minor units of which the total is a multiple.",
        examples=[100],
    )
    valid_days: int = Field(14, ge=1, le=MOST_DAYS, description="How many days a quote holds.", examples=[14])

    @property
    def fee_share(self) -> Fraction:
        """The part of the whole payment that fees take."""
        return read_percentage(self.fees.share if isinstance(self.fees, Fees) else self.fees) or NOTHING

    @property
    def fixed_fee(self) -> Fraction:
        """What fees take of every payment, in the currency."""
        return Fraction(self.fees.fixed) if isinstance(self.fees, Fees) else NOTHING

    @property
    def tax_rate(self) -> Fraction:
        """The rate of tax, 0 without one."""
        return NOTHING if self.tax is None else read_percentage(self.tax.rate) or NOTHING

    @model_validator(mode="after")
    def _comes_to_something(self) -> Self:
        if self.margin is not None and self.markup is not None:
            raise fault("a margin and a markup are both given", "give one of the two")
        if self.fee_share * (1 + self.tax_rate) >= 1:
            raise fault("fees take the whole payment once tax is on it", "give a smaller share")
        return self
