"""Forms as data: what is asked, what was typed, what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from django.utils.html import format_html
from django.utils.safestring import SafeString

from heftwright.domain.height import LengthUnit
from heftwright.domain.mass import MassUnit


class Kind(StrEnum):
    """What a field takes."""

    TEXT = "text"
    LONG = "long"
    WHOLE = "whole"
    NUMBER = "number"
    MASS = "mass"
    LENGTH = "length"
    DAY = "day"
    TIME = "time"
    CHOICE = "choice"
    CHECK = "check"
    SECRET = "secret"  # noqa: S105 - the kind of a field, not a secret
    HIDDEN = "hidden"


@dataclass(frozen=True, slots=True)
class Field:
    """One question of a form.

    Parameters
    ----------
    name, label, kind, hint
        What is asked and how.
    choices : tuple of (value, words)
        For CHOICE.
    is_required : bool
        Whether an empty answer is refused.
    value, unit, wrong : str
        What stands in it, the chosen unit, the sentence of what is wrong.
    autocomplete : str
        The browser's own word for it.
    group : str
        Heading over this and the following fields of the same group.
    """

    name: str
    label: str
    kind: Kind = Kind.TEXT
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    is_required: bool = False
    value: str = ""
    unit: str = ""
    wrong: str = ""
    autocomplete: str = ""
    group: str = ""

    @property
    def units(self) -> tuple[str, ...]:
        """Units that may stand beside the figure."""
        if self.kind is Kind.MASS:
            return tuple(MassUnit)
        if self.kind is Kind.LENGTH:
            return (LengthUnit.CM, LengthUnit.M, LengthUnit.MM, LengthUnit.IN)
        return ()

    @property
    def input_type(self) -> str:
        """The input's type; numbers are text, for the one number grammar (trust.md H1)."""
        return {Kind.DAY: "date", Kind.TIME: "time", Kind.SECRET: "password"}.get(self.kind, "text")

    @property
    def described(self) -> SafeString:
        """Attributes that tie hint and complaint to the input."""
        about = [f"h-{self.name}"] if self.hint else []
        if not self.wrong:
            ids = " ".join(about)
            return format_html('aria-describedby="{}"', ids) if ids else SafeString("")
        ids = " ".join([*about, f"w-{self.name}"])
        return format_html('aria-describedby="{}" aria-invalid="true"', ids)


@dataclass(frozen=True, slots=True)
class Form:
    """Fields in the order of asking."""

    fields: tuple[Field, ...]

    @property
    def is_sound(self) -> bool:
        """Whether nothing is wrong with any answer."""
        return not any(field.wrong for field in self.fields)

    def filled(self, values: Mapping[str, object]) -> Form:
        """The form with values standing in it; ``name_unit`` fills a unit."""
        return Form(
            tuple(
                replace(
                    field,
                    value=_text(values.get(field.name, field.value)),
                    unit=_text(values.get(f"{field.name}_unit", field.unit)),
                )
                for field in self.fields
            )
        )

    def blamed(self, complaints: Mapping[str, str]) -> Form:
        """The form with sentences beside the answers that are wrong."""
        return Form(
            tuple(replace(field, wrong=complaints.get(field.name, "")) for field in self.fields)
        )


def form_of(fields: Iterable[Field]) -> Form:
    """A form of these questions."""
    return Form(tuple(fields))


def _text(value: object) -> str:
    if value is None or value is False:
        return ""
    return "yes" if value is True else str(value)
