"""What the models of plan files and records have in common."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, NamedTuple

from pydantic import (
    AfterValidator,
    AliasChoices,
    BaseModel,
    ConfigDict,
    Field,
    model_validator,
)
from pydantic.fields import FieldInfo

from engine.plain import visible

Text = Annotated[str, Field(max_length=2000), AfterValidator(visible)]
"""One line, harmless to show wherever it comes from: see `visible`."""
Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(visible)]
Clock = Annotated[float, Field(gt=0, le=12)]
"""A clock position, seen looking at the bell: 12 at the top, 4.5 for half past four."""


class Frozen(BaseModel):
    """A value: never changed after it is made, and with no field that is not declared."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, allow_inf_nan=False
    )


class Fault(NamedTuple):
    """What is wrong with one entry: where it stands, what was found, what was expected."""

    key: str
    found: str
    expected: str

    def __str__(self) -> str:
        return f"{self.key}: found {self.found}, expected {self.expected}"


def spellings(name: str, info: FieldInfo) -> tuple[str, ...]:
    """How a file may write a field, the usual way first."""
    alias = info.validation_alias
    if not isinstance(alias, AliasChoices):
        return (name,)
    return tuple(dict.fromkeys([*(str(choice) for choice in alias.choices), name]))


class Section(Frozen):
    """A section of a plan file.  A field that is `"unknown"` is None, and its fallback a doubt; one
    that has a default is as if it had been left out."""

    @model_validator(mode="before")
    @classmethod
    def _unknown_is_none(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        usual = {key for name, info in cls.model_fields.items()
                 if not info.is_required() and info.default is not None
                 for key in spellings(name, info)}  # fmt: skip
        return {
            k: None if v == "unknown" else v
            for k, v in data.items()
            if v != "unknown" or k not in usual
        }

    def faults(self) -> Iterator[Fault]:
        """What cannot be, though each field by itself could."""
        return iter(())
