"""Columns that keep a value as it was written and read it back as a domain value.

In the database a mass is the text "97.5 kg" and a length "41.5 cm": exact, with its unit beside
it, and readable by a person with nothing but a database shell.
"""

from __future__ import annotations

import json
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from django.db import models

from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.mass import EnteredMass, Mass, MassUnit

if TYPE_CHECKING:
    _CharField = models.CharField[Any, Any]
    _JSONField = models.JSONField[Any, Any]
else:
    _CharField = models.CharField
    _JSONField = models.JSONField


def mass_text(mass: Mass) -> str:
    """A mass as stored: ``"97.5 kg"``."""
    return str(EnteredMass.of(mass))


def read_mass(text: str) -> Mass:
    """The exact mass of a stored text."""
    number, _, unit = text.partition(" ")
    return EnteredMass.read(number, MassUnit(unit)).mass


def length_text(length: Length) -> str:
    """A length as stored: ``"41.5 cm"``."""
    return str(EnteredLength.of(length))


def read_length(text: str) -> Length:
    """The exact length of a stored text."""
    number, _, unit = text.partition(" ")
    return EnteredLength.read(number, LengthUnit(unit)).length


class _WrittenField(_CharField):
    """A text column; migrations see a plain CharField, so that they never import the domain."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 24)
        super().__init__(*args, **kwargs)

    def deconstruct(self) -> Any:
        name, _, args, kwargs = super().deconstruct()
        if "default" in kwargs:
            kwargs["default"] = self.get_prep_value(kwargs["default"])
        return name, "django.db.models.CharField", args, kwargs

    def from_db_value(self, value: str | None, _expression: Any, _connection: Any) -> Any:
        return None if value is None else self.read(value)

    def to_python(self, value: Any) -> Any:
        return self.read(value) if type(value) is str else value

    def get_prep_value(self, value: Any) -> str | None:
        return value if value is None or type(value) is str else self.write(value)

    def value_to_string(self, obj: models.Model) -> str:
        return self.get_prep_value(self.value_from_object(obj)) or ""

    def read(self, text: str) -> Any:
        raise NotImplementedError

    def write(self, value: Any) -> str:
        raise NotImplementedError


class MassField(_WrittenField):
    """A mass as written."""

    def read(self, text: str) -> Mass:
        return read_mass(text)

    def write(self, value: Mass) -> str:
        return mass_text(value)


class LengthField(_WrittenField):
    """A length as written."""

    def read(self, text: str) -> Length:
        return read_length(text)

    def write(self, value: Length) -> str:
        return length_text(value)


class WordField(_WrittenField):
    """A word of a closed set; ``words`` is its enumeration."""

    def __init__(self, words: type[StrEnum] | None = None, *args: Any, **kwargs: Any) -> None:
        self.words = words
        kwargs.setdefault("max_length", 40)
        super().__init__(*args, **kwargs)

    def read(self, text: str) -> StrEnum:
        assert self.words is not None
        return self.words(text)

    def write(self, value: StrEnum) -> str:
        return value.value


class LengthsField(_JSONField):
    """A short list of lengths as written, in order."""

    def deconstruct(self) -> Any:
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.JSONField", args, kwargs

    def from_db_value(self, value: Any, expression: Any, connection: Any) -> Any:
        texts = super().from_db_value(value, expression, connection)
        return tuple(read_length(text) for text in texts or ())

    def to_python(self, value: Any) -> Any:
        texts = json.loads(value) if isinstance(value, str) else value
        return tuple(read_length(text) if isinstance(text, str) else text for text in texts)

    def get_prep_value(self, value: Any) -> Any:
        return super().get_prep_value([length_text(length) for length in value])
