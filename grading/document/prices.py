"""Prices: what a length, a sheet or one of something costs."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from grading.document.values import Part, fault
from grading.exact import NotALength, read_length, shown

SHEET = "sheet"
EACH = "each"
_AMOUNT = re.compile(r"\d{1,12}(?:\.\d{1,4})?", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}", re.ASCII)


def _amount(value: str) -> str:
    if not _AMOUNT.fullmatch(value):
        raise fault(f"{shown(value)} is no amount of money", "write it as in '14.50'")
    return value


def _currency(value: str) -> str:
    if not _CURRENCY.fullmatch(value):
        raise fault(f"{shown(value)} is no currency", "write its three capital letters, as in 'EUR'")
    return value


def _per(value: str | float, word: str) -> str | float:
    if value == word:
        return value
    try:
        priced = read_length(value)
    except NotALength:
        raise fault(f"{shown(value)} has no price", f"write a length, as in '1 m', or '{word}'") from None
    if priced <= 0:
        raise fault(f"{shown(value)} has no price", "write a length above 0, as in '1 m'")
    return value


def _per_length_or_sheet(value: str | float) -> str | float:
    return _per(value, SHEET)


def _per_length_or_each(value: str | float) -> str | float:
    return _per(value, EACH)


Amount = Annotated[str, StringConstraints(max_length=20), AfterValidator(_amount)]
"""An amount of money: "14.50"."""

Currency = Annotated[str, StringConstraints(max_length=20), AfterValidator(_currency)]
"""A currency: "EUR"."""


class Price(Part):
    """What something costs; what that is for is said by `per`."""

    amount: Amount = Field(description="The amount, a decimal text.", examples=["14.50"])
    currency: Currency = Field(description="The currency, its three capital letters by ISO 4217.", examples=["EUR"])

    @model_validator(mode="before")
    @classmethod
    def _for_something(cls, value: Any) -> Any:
        if isinstance(value, dict) and "per" not in value:
            raise fault(
                "the price does not say how much it is for",
                f'add "per", as in "1 m" ("{SHEET}" where sheets are sold, "{EACH}" of a finding)',
            )
        return value

    @property
    def value(self) -> Decimal:
        """The amount as a number."""
        return Decimal(self.amount)


class MaterialPrice(Price):
    """What a length or a sheet of a material costs."""

    per: Annotated[str | int | float, AfterValidator(_per_length_or_sheet)] = Field(
        description='The length that it is for, or "sheet".', examples=["1 m", "1 yd", "sheet"]
    )


class FindingPrice(Price):
    """What a length of a finding costs, or one of it."""

    per: Annotated[str | int | float, AfterValidator(_per_length_or_each)] = Field(
        description='The length that it is for, or "each".', examples=["each", "1 m"]
    )
