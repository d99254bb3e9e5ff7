"""Exact lengths and heights. The only module that knows inches.

A length is a whole number of ticks of 100 nm, in which a thousandth of an inch (25.4 µm exactly,
NIST SP 811) and a thousandth of a millimetre are whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import total_ordering
from typing import Self

from heftwright.domain.mass import parse_thousandths
from heftwright.domain.refusal import Refusal

TICKS_PER_MM = 10_000
TICKS_PER_M = 10_000_000
TICKS_PER_IN = 254_000


class LengthExactnessError(Refusal):
    """A length finer than 100 nm."""


class LengthUnit(StrEnum):
    """The units a gym writes lengths in."""

    M = "m"
    CM = "cm"
    MM = "mm"
    IN = "in"

    @property
    def ticks(self) -> int:
        """Ticks of 100 nm in one of this unit."""
        table = {"m": TICKS_PER_M, "cm": 100_000, "mm": TICKS_PER_MM, "in": TICKS_PER_IN}
        return table[self.value]


@total_ordering
@dataclass(frozen=True, slots=True)
class Length:
    """An exact length; may be negative as a difference.

    Parameters
    ----------
    ticks : int
        Hundreds of nanometres [100 nm].
    """

    ticks: int

    @classmethod
    def of(cls, value: int | str | Decimal, unit: LengthUnit) -> Self:
        """Length of ``value`` in ``unit``, exact."""
        ticks = Decimal(value) * unit.ticks
        if ticks != int(ticks):
            raise LengthExactnessError(f"{value} {unit} is finer than a ten-thousandth of a mm.")
        return cls(int(ticks))

    @classmethod
    def mm(cls, value: int | str | Decimal) -> Self:
        """Length of ``value`` [mm]."""
        return cls.of(value, LengthUnit.MM)

    @classmethod
    def cm(cls, value: int | str | Decimal) -> Self:
        """Length of ``value`` [cm]."""
        return cls.of(value, LengthUnit.CM)

    @classmethod
    def m(cls, value: int | str | Decimal) -> Self:
        """Length of ``value`` [m]."""
        return cls.of(value, LengthUnit.M)

    @classmethod
    def inches(cls, value: int | str | Decimal) -> Self:
        """Length of ``value`` [in], 1 in = 25.4 mm exactly."""
        return cls.of(value, LengthUnit.IN)

    @classmethod
    def nearest_m(cls, value_m: float) -> Self:
        """Length nearest a computed float [m]."""
        return cls(round(value_m * TICKS_PER_M))

    @property
    def in_m(self) -> float:
        """The length [m] as a float, for geometry."""
        return self.ticks / TICKS_PER_M

    @property
    def in_mm(self) -> float:
        """The length [mm] as a float."""
        return self.ticks / TICKS_PER_MM

    def shown(self, unit: LengthUnit = LengthUnit.CM, places: int = 1) -> str:
        """For people, with a space and the unit."""
        text = f"{round(Decimal(self.ticks) / unit.ticks, places):f}"
        return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"

    def __add__(self, other: Length) -> Length:
        return Length(self.ticks + other.ticks)

    def __sub__(self, other: Length) -> Length:
        return Length(self.ticks - other.ticks)

    def __mul__(self, count: int) -> Length:
        return Length(self.ticks * count)

    __rmul__ = __mul__

    def __lt__(self, other: Length) -> bool:
        return self.ticks < other.ticks

    def __str__(self) -> str:
        return self.shown()


@dataclass(frozen=True, slots=True)
class EnteredLength:
    """A length as somebody wrote it: value × 1000 and unit."""

    thousandths: int
    unit: LengthUnit

    @classmethod
    def read(cls, text: str, unit: LengthUnit) -> Self:
        """Read the number in the one grammar; the unit is said apart."""
        return cls(parse_thousandths(text), unit)

    @classmethod
    def of(cls, length: Length) -> Self:
        """The length in the first of cm, in, mm, m that writes it in the one number grammar.

        Raises
        ------
        LengthExactnessError
            If no unit writes it exactly within 0 … 9 999.999.
        """
        for unit in (LengthUnit.CM, LengthUnit.IN, LengthUnit.MM, LengthUnit.M):
            thousandths, rest = divmod(length.ticks * 1000, unit.ticks)
            if not rest and 0 <= thousandths <= 9_999_999:
                return cls(thousandths, unit)
        raise LengthExactnessError(
            f"{length.shown(LengthUnit.MM, 4)} cannot be written with 3 places in any unit: "
            "write it as it was measured."
        )

    @property
    def length(self) -> Length:
        """The exact length."""
        return Length(self.thousandths * self.unit.ticks // 1000)

    def __str__(self) -> str:
        return self.length.shown(self.unit, 3)
