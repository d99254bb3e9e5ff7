"""Exact masses. The only module that knows pounds.

A mass is a whole number of ticks of 10 ng, the largest step in which both a thousandth of a
kilogram and a thousandth of a pound are whole (1 lb = 0.45359237 kg exactly: NIST SP 811,
Appendix B), so sums never drift and never depend on the order of adding.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import total_ordering
from typing import Self

from heftwright.domain.refusal import Refusal

TICKS_PER_KG = 10**11
TICKS_PER_LB = 45_359_237_000
_THOUSAND = 1000
_GRAMMAR = re.compile(r"[0-9]{1,4}(\.[0-9]{1,3})?")


class MassGrammarError(Refusal):
    """A text that is not a mass in the one number grammar."""


class MassUnit(StrEnum):
    """The units a gym writes masses in."""

    KG = "kg"
    LB = "lb"

    @property
    def ticks(self) -> int:
        """Ticks of 10 ng in one of this unit."""
        return TICKS_PER_KG if self is MassUnit.KG else TICKS_PER_LB


def parse_thousandths(text: str) -> int:
    """Read a number in the one grammar: ASCII digits, at most 4 before and 3 after the point.

    Parameters
    ----------
    text : str
        For example ``"97.5"``; no sign, no comma, no exponent, no spaces.

    Returns
    -------
    int
        Thousandths, exact: ``97500``.

    Raises
    ------
    MassGrammarError
        If the whole text is not in the grammar. A comma gets a question, never a guess.
    """
    if not _GRAMMAR.fullmatch(text):
        raise MassGrammarError(_why_not_a_number(text))
    whole, _, part = text.partition(".")
    return int(whole) * _THOUSAND + int(part.ljust(3, "0") or "0")


def _why_not_a_number(text: str) -> str:
    shown = text if len(text) <= 40 else text[:37] + "…"
    if re.fullmatch(r"[0-9]{1,4},[0-9]{1,3}", text):
        return (
            f"“{shown}” has a comma: is it {text.replace(',', '.')} or {text.replace(',', '')}? "
            "Write it with a point, or without the comma."
        )
    return (
        f"“{shown}” is not a number that can be read safely. Write digits with at most 4 before "
        "and 3 after the point, for example 97.5."
    )


@total_ordering
@dataclass(frozen=True, slots=True)
class Mass:
    """An exact mass; may be negative as a difference.

    Parameters
    ----------
    ticks : int
        Tens of nanograms [10 ng].
    """

    ticks: int

    @classmethod
    def kg(cls, value: int | str | Decimal) -> Self:
        """Mass of ``value`` [kg]; floats are not taken, since they are not what was entered."""
        return cls(_exact_ticks(Decimal(value), TICKS_PER_KG))

    @classmethod
    def lb(cls, value: int | str | Decimal) -> Self:
        """Mass of ``value`` [lb], 1 lb = 0.45359237 kg exactly (NIST SP 811)."""
        return cls(_exact_ticks(Decimal(value), TICKS_PER_LB))

    @classmethod
    def nearest_kg(cls, value_kg: float, step_kg: str = "0.001") -> Self:
        """Mass nearest a computed float [kg] on a grid of ``step_kg`` (a gram by default)."""
        step = Decimal(step_kg)
        return cls.kg(round(Decimal(repr(float(value_kg))) / step) * step)

    @property
    def in_kg(self) -> float:
        """The mass [kg] as a float, for curves and solvers; never for sums of plates."""
        return self.ticks / TICKS_PER_KG

    @property
    def in_lb(self) -> float:
        """The mass [lb] as a float."""
        return self.ticks / TICKS_PER_LB

    def exactly(self, unit: MassUnit) -> Decimal:
        """The mass in ``unit``, exact for kg and to 12 places for lb."""
        quotient = Decimal(self.ticks) / Decimal(unit.ticks)
        return quotient.quantize(Decimal("1e-12")).normalize()

    def shown(self, unit: MassUnit = MassUnit.KG, places: int = 2) -> str:
        """For people: 100 not 100.0, 0.5 not .5, a space and the unit, always (trust.md H4)."""
        value = round(Decimal(self.ticks) / Decimal(unit.ticks), places)
        return f"{_plain(value)} {unit}"

    def __add__(self, other: Mass) -> Mass:
        return Mass(self.ticks + other.ticks)

    def __sub__(self, other: Mass) -> Mass:
        return Mass(self.ticks - other.ticks)

    def __mul__(self, count: int) -> Mass:
        return Mass(self.ticks * count)

    __rmul__ = __mul__

    def __neg__(self) -> Mass:
        return Mass(-self.ticks)

    def __lt__(self, other: Mass) -> bool:
        return self.ticks < other.ticks

    def __bool__(self) -> bool:
        return self.ticks != 0

    def __str__(self) -> str:
        return self.shown()


def total(masses: list[Mass] | tuple[Mass, ...]) -> Mass:
    """Sum of masses, exact; zero for none."""
    return Mass(sum(mass.ticks for mass in masses))


@dataclass(frozen=True, slots=True)
class EnteredMass:
    """A mass as somebody wrote it: value and unit are kept, so that nothing is lost.

    Parameters
    ----------
    thousandths : int
        The written value × 1000, 0 … 9 999 999.
    unit : MassUnit
        The unit that stood beside it.
    """

    thousandths: int
    unit: MassUnit

    def __post_init__(self) -> None:
        if not 0 <= self.thousandths <= 9_999_999:
            raise MassGrammarError(
                f"{self.thousandths}/1000 {self.unit} is outside 0 … 9 999.999: check the entry."
            )

    @classmethod
    def read(cls, text: str, unit: MassUnit) -> Self:
        """Read the number in the one grammar; the unit is said apart."""
        return cls(parse_thousandths(text), unit)

    @classmethod
    def of(cls, mass: Mass) -> Self:
        """The mass as it was written: at most one unit makes it whole thousandths; 0 is in kg.

        A kilogram's and a pound's thousandths (10⁸ and 45 359 237 ticks) share no factor, so up
        to 9 999.999 no other mass than 0 is whole in both.

        Raises
        ------
        MassGrammarError
            If the mass is not whole thousandths of a unit, so that nobody can have written it.
        """
        for unit in MassUnit:
            thousandths, rest = divmod(mass.ticks * _THOUSAND, unit.ticks)
            if not rest:
                return cls(thousandths, unit)
        raise MassGrammarError(
            f"{mass.shown(places=6)} is not whole thousandths of a kilogram or a pound: write it "
            "as it was weighed."
        )

    @property
    def mass(self) -> Mass:
        """The exact mass."""
        return Mass(self.thousandths * self.unit.ticks // _THOUSAND)

    def __str__(self) -> str:
        return f"{_plain(Decimal(self.thousandths) / _THOUSAND)} {self.unit}"


def _exact_ticks(value: Decimal, ticks_per_unit: int) -> int:
    ticks = value * ticks_per_unit
    whole = int(ticks)
    if ticks != whole:
        raise MassGrammarError(f"{value} cannot be kept exactly: at most a tenth of a microgram.")
    return whole


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
