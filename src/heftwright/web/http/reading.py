"""Reading what was typed, in the one number grammar; every complaint stands at its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from heftwright.domain.height import EnteredLength, LengthUnit
from heftwright.domain.mass import EnteredMass, MassUnit, parse_thousandths
from heftwright.domain.refusal import Refusal
from heftwright.web.render.forms import Field, Form, Kind

LONGEST_TEXT = 200
LONGEST_NOTE = 2000


@dataclass(frozen=True, slots=True)
class Answers:
    """What a form came back with.

    Parameters
    ----------
    form : Form
        As typed, with complaints.
    values : Mapping
        Field name -> value; None for an empty answer.
    """

    form: Form
    values: Mapping[str, Any]

    @property
    def is_sound(self) -> bool:
        """Whether every answer could be read."""
        return self.form.is_sound


def read_form(form: Form, typed: Mapping[str, str]) -> Answers:
    """Read every field; nothing typed is lost when something is wrong."""
    values: dict[str, Any] = {}
    complaints: dict[str, str] = {}
    for field in form.fields:
        try:
            values[field.name] = _read(field, typed)
        except (Refusal, ValueError) as error:
            values[field.name] = None
            complaints[field.name] = str(error)
    shown = {name: typed.get(name, "") for name in _names(form)}
    return Answers(form.filled(shown).blamed(complaints), values)


def _names(form: Form) -> list[str]:
    names = [field.name for field in form.fields]
    return names + [f"{field.name}_unit" for field in form.fields if field.units]


def _read(field: Field, typed: Mapping[str, str]) -> Any:
    text = typed.get(field.name, "").strip()
    if field.kind is Kind.CHECK:
        return text == "yes"
    if field.kind is Kind.SECRET:
        return _needed(field, typed.get(field.name, ""))
    if not _needed(field, text):
        return "" if field.kind in (Kind.TEXT, Kind.LONG, Kind.HIDDEN) else None
    if field.units:
        return _with_unit(field, text, typed.get(f"{field.name}_unit", ""))
    return _READERS[field.kind](field, text)


def _needed(field: Field, text: str) -> str:
    if field.is_required and not text:
        raise Refusal(f"{field.label} is missing: fill it in.")
    return text


def _with_unit(field: Field, text: str, unit: str) -> EnteredMass | EnteredLength:
    if unit not in field.units:
        raise Refusal(f"{field.label}: choose a unit, one of {', '.join(field.units)}.")
    if field.kind is Kind.MASS:
        return EnteredMass.read(text, MassUnit(unit))
    return EnteredLength.read(text, LengthUnit(unit))


def _text(field: Field, text: str) -> str:
    longest = LONGEST_NOTE if field.kind is Kind.LONG else LONGEST_TEXT
    if len(text) > longest:
        raise Refusal(f"{field.label} has {len(text)} characters: at most {longest}.")
    if any(ord(letter) < 32 and letter not in "\r\n\t" for letter in text):
        raise Refusal(f"{field.label} has characters that cannot be shown: type it again.")
    return text


def _whole(field: Field, text: str) -> int:
    thousandths = parse_thousandths(text)
    if thousandths % 1000:
        raise Refusal(f"{field.label} must be a whole number, not {text}.")
    return thousandths // 1000


def _number(field: Field, text: str) -> float:
    del field
    return parse_thousandths(text) / 1000


def _day(field: Field, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refusal(f"{field.label}: write the date as year-month-day, 2026-05-31.") from None


def _time(field: Field, text: str) -> time:
    try:
        return time.fromisoformat(text)
    except ValueError:
        raise Refusal(f"{field.label}: write the time as 18:30.") from None


def _choice(field: Field, text: str) -> str:
    if text not in {value for value, _ in field.choices}:
        raise Refusal(f"{field.label}: “{text}” is not one of the choices.")
    return text


_READERS: dict[Kind, Callable[[Field, str], Any]] = {
    Kind.TEXT: _text,
    Kind.LONG: _text,
    Kind.HIDDEN: _text,
    Kind.WHOLE: _whole,
    Kind.NUMBER: _number,
    Kind.DAY: _day,
    Kind.TIME: _time,
    Kind.CHOICE: _choice,
}
