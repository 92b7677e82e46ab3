"""Choices that a document allows, and the conditions under which its parts are there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from grading.document.values import Name, Part, Text, fault

Choices = Mapping[str, str]
"""A choice for each option."""

When = Annotated[
    dict[Name, Name | tuple[Name, ...]] | None,
    Field(
        None,
        max_length=20,
        description="The choices under which this part is there; always if left out.",
        examples=[{"front_pocket": "zipped"}, {"front_pocket": ["zipped", "open"]}],
    ),
]
"""A condition: for each option named, the choice or choices under which a part is there."""


class Option(Part):
    """A choice that the document allows."""

    says: Text = Field("", description="What is chosen, in words.", examples=["the pocket on the front"])
    choices: tuple[Name, ...] = Field(
        min_length=2, max_length=20, description="The choices.", examples=[["none", "open", "zipped"]]
    )
    default: Name | None = Field(None, description="The usual choice; the first if left out.", examples=["open"])

    @property
    def usual(self) -> str:
        """The choice where none is made."""
        return self.choices[0] if self.default is None else self.default

    @model_validator(mode="after")
    def _names_its_choices(self) -> Self:
        if len(set(self.choices)) != len(self.choices):
            raise fault("a choice is listed twice", "list each once")
        if self.usual not in self.choices:
            raise fault(f"{self.usual!r} is none of its choices", f"choose one of {', '.join(self.choices)}")
        return self


def holds(when: Mapping[str, Any] | None, choices: Choices) -> bool:
    """Whether a condition holds: every option that it names has one of the choices that it names."""
    return all(
        choices[name] in ((wanted,) if isinstance(wanted, str) else wanted) for name, wanted in (when or {}).items()
    )
