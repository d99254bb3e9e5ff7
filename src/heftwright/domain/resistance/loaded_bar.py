"""What hangs on a bar: exact masses, both sides, room on the sleeves, and whether it tips.

References
----------
IWF technical rules: bars 20 and 15 kg, 2200 and 2010 mm, sleeves 415 and 320 mm, 1310 mm between
the inner collars (the last from memory), collars 2.5 kg each. IPF: tolerance 0.25 % or 10 g.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass, total
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Bar, PlatePair, Side

COLLAR_WIDTH = Length.mm(50)  # common practice, no source: measure the gym's own
TOLERANCE_RATIO = Fraction(1, 400)
TOLERANCE_LEAST = Mass.kg("0.010")


class LoadedBarError(Refusal):
    """A bar that cannot be loaded or stripped like that."""


@dataclass(frozen=True, slots=True)
class NominalDisc:
    """One disc of the international rules: mass and colour name."""

    mass: Mass
    colour: str


IWF_DISCS = tuple(
    NominalDisc(Mass.kg(kg), colour)
    for kg, colour in (
        ("25", "red"),
        ("20", "blue"),
        ("15", "yellow"),
        ("10", "green"),
        ("5", "white"),
        ("2.5", "red"),
        ("2", "blue"),
        ("1.5", "yellow"),
        ("1", "green"),
        ("0.5", "white"),
    )
)


def is_within_tolerance(weighed: Mass, nominal: Mass) -> bool:
    """Whether a plate or bar is within 0.25 % or 10 g of its nominal mass, whichever is larger."""
    allowed = max(Fraction(nominal.ticks) * TOLERANCE_RATIO, Fraction(TOLERANCE_LEAST.ticks))
    return abs(weighed.ticks - nominal.ticks) <= allowed


@dataclass(frozen=True, slots=True)
class LoadedBar:
    """A bar with its plates, inner first, side by side.

    Parameters
    ----------
    bar : Bar
        With its own collar mass.
    left, right : tuple of PlatePair
        One plate of each entry, inner plate first.
    has_collars : bool
        Whether both collars are on; never assumed.
    """

    bar: Bar
    left: tuple[PlatePair, ...]
    right: tuple[PlatePair, ...]
    has_collars: bool

    @classmethod
    def alike(cls, bar: Bar, a_side: tuple[PlatePair, ...], *, has_collars: bool) -> LoadedBar:
        """The same plates on both sides."""
        return cls(bar, a_side, a_side, has_collars)

    @property
    def collar(self) -> Mass:
        """One collar that is on; zero if none is."""
        return self.bar.collar if self.has_collars else Mass(0)

    @property
    def mass(self) -> Mass:
        """Everything, exact."""
        return total([mass for _, mass in self.parts])

    @property
    def parts(self) -> tuple[tuple[str, Mass], ...]:
        """Bar, collars and both sides: they add up to the mass."""
        return (
            (self.bar.name, self.bar.mass),
            ("collars", 2 * self.collar),
            ("left plates", self.side_mass(Side.LEFT)),
            ("right plates", self.side_mass(Side.RIGHT)),
        )

    @property
    def nominal(self) -> Mass:
        """What it would weigh if every plate were what is printed on it."""
        printed = [plate.nominal or plate.mass for plate in self.left + self.right]
        return self.bar.mass + 2 * self.collar + total(printed)

    @property
    def side_difference(self) -> Mass:
        """Left less right."""
        return self.side_mass(Side.LEFT) - self.side_mass(Side.RIGHT)

    def side_mass(self, side: Side) -> Mass:
        """Plates of one side, or of both."""
        return total([plate.mass for plate in self.plates_of(side)])

    def plates_of(self, side: Side) -> tuple[PlatePair, ...]:
        """Plates of one side, inner first, or of both."""
        by_side = {Side.LEFT: self.left, Side.RIGHT: self.right, Side.BOTH: self.left + self.right}
        return by_side[side]

    def warnings(self) -> tuple[str, ...]:
        """Sentences about sides that differ and masses that are not what is printed."""
        lines: list[str] = []
        gap = self.side_difference
        if gap:
            side = Side.LEFT if gap > Mass(0) else Side.RIGHT
            lines.append(f"{side.capitalize()} is {max(gap, -gap)} heavier: check the plates.")
        lines += [
            f"Plate “{plate.key}” weighs {plate.mass}, not {plate.nominal}."
            for plate in dict.fromkeys(self.left + self.right)
            if plate.nominal and not is_within_tolerance(plate.mass, plate.nominal)
        ]
        if self.bar.collar and not self.has_collars:
            lines.append("No collars counted: put them on and count them.")
        return tuple(lines)


def sleeve_room(
    bar: Bar,
    plates: tuple[PlatePair, ...],
    *,
    has_collar: bool = True,
    collar_width: Length = COLLAR_WIDTH,
) -> Length:
    """Room left on one sleeve behind the plates and the collar; negative: they do not fit."""
    used_ticks = sum(plate.thickness.ticks for plate in plates)
    if has_collar:
        used_ticks += collar_width.ticks
    return Length(bar.sleeve.ticks - used_ticks)


@dataclass(frozen=True, slots=True)
class BarSupports:
    """What carries a racked bar.

    Parameters
    ----------
    span_m : float
        Distance between the two hooks or stands [m], > 0.
    first_plate_m : float
        From the bar's middle to the inner face of the first plate [m]; 0.685 for 1310 mm between
        inner collars of 30 mm.
    """

    span_m: float = 1.10
    first_plate_m: float = 0.685

    def __post_init__(self) -> None:
        if not 0 < self.span_m / 2 < self.first_plate_m:
            raise LoadedBarError("The hooks must stand inside the plates: half the span > 0 m.")


@dataclass(frozen=True, slots=True)
class Tipping:
    """Whether a racked bar tips over a hook.

    Parameters
    ----------
    side : Side or None
        Where it would go down first; None when both sides are alike.
    tipping_kg_m, holding_kg_m : float
        Moments about that hook [kg·m].
    """

    side: Side | None
    tipping_kg_m: float
    holding_kg_m: float

    @property
    def is_tipping(self) -> bool:
        """Whether it goes over, or only just stays."""
        return self.tipping_kg_m >= self.holding_kg_m

    @property
    def used_ratio(self) -> float:
        """Share of the holding moment that is used up; 1 tips."""
        return self.tipping_kg_m / self.holding_kg_m


def tipping(loaded: LoadedBar, supports: BarSupports = BarSupports()) -> Tipping:
    """Statics of a bar on two hooks: plates outside one hook against all the rest.

    The worse side is answered; the collar sits outside the plates of its side.
    """
    half_m = supports.span_m / 2
    left_kg_m, left_kg = _moment(loaded, Side.LEFT, supports)
    right_kg_m, right_kg = _moment(loaded, Side.RIGHT, supports)
    bar_kg_m = loaded.bar.mass.in_kg * half_m
    left = (left_kg_m - left_kg * half_m, bar_kg_m + right_kg_m + right_kg * half_m)
    right = (right_kg_m - right_kg * half_m, bar_kg_m + left_kg_m + left_kg * half_m)
    side = None if left == right else Side.LEFT if left[0] > right[0] else Side.RIGHT
    return Tipping(side, *(right if side == Side.RIGHT else left))


def _moment(loaded: LoadedBar, side: Side, supports: BarSupports) -> tuple[float, float]:
    """Moment about the bar's middle [kg·m] and mass [kg] of one side."""
    at_m, moment, mass_kg = supports.first_plate_m, 0.0, 0.0
    for plate in loaded.plates_of(side):
        moment += plate.mass.in_kg * (at_m + plate.thickness.in_m / 2)
        mass_kg += plate.mass.in_kg
        at_m += plate.thickness.in_m
    moment += loaded.collar.in_kg * (at_m + COLLAR_WIDTH.in_m / 2)
    return moment, mass_kg + loaded.collar.in_kg


def largest_one_sided_kg(bar: Bar, plate_thickness: Length, supports: BarSupports) -> float:
    """Heaviest single plate [kg] that one side can hold with the other side bare."""
    arm_m = supports.first_plate_m + plate_thickness.in_m / 2 - supports.span_m / 2
    return bar.mass.in_kg * (supports.span_m / 2) / arm_m


def strip_order(
    loaded: LoadedBar,
    supports: BarSupports = BarSupports(),
) -> tuple[tuple[Side, PlatePair], ...]:
    """Plates off a racked bar, outer first, sides taking turns, never past the tipping limit.

    Raises
    ------
    LoadedBarError
        If some step tips whichever side goes first: hold the bar, or strip it on the floor.
    """
    left, right = list(loaded.left), list(loaded.right)
    steps: list[tuple[Side, PlatePair]] = []
    while left or right:
        left_is_next = sum(p.mass.ticks for p in left) >= sum(p.mass.ticks for p in right)
        side, stack = (Side.LEFT, left) if left_is_next else (Side.RIGHT, right)
        steps.append((side, stack.pop()))
        state = LoadedBar(loaded.bar, tuple(left), tuple(right), has_collars=False)
        if tipping(state, supports).is_tipping:
            raise LoadedBarError(
                f"Taking the {steps[-1][1].mass} off the {side} tips the bar on these hooks: two "
                "people, both sides at once, or strip it on the floor."
            )
    return tuple(steps)
