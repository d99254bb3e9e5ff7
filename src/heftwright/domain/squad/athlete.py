"""An athlete as the planners see one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NewType

from heftwright.domain.catalogue import Lift, LiftKey, WeakPoint
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal

AthleteId = NewType("AthleteId", str)
ADULT_YEARS = 18


class AthleteError(Refusal):
    """An athlete's record that cannot be true."""


class Sex(StrEnum):
    """As contest classes and published ratios use it."""

    WOMAN = "woman"
    MAN = "man"


@dataclass(frozen=True, slots=True)
class Restriction:
    """Lifts with a tag, or one lift, are off until somebody clears them; no date does (trust.md).

    Parameters
    ----------
    tag : str
        A catalogue tag such as ``"overhead"``, or a lift key.
    since : date
        First day.
    until : date or None
        Ask again on this day; the lifts stay off until cleared all the same.
    note : str
        The coach's words; health notes are kept elsewhere.
    cleared_on : date or None
        First day on which the lifts are back; None: not cleared.
    cleared_by : str
        Who cleared them.

    Raises
    ------
    AthleteError
        If it is cleared by nobody, on no day, or before it began.
    """

    tag: str
    since: date
    until: date | None = None
    note: str = ""
    cleared_on: date | None = None
    cleared_by: str = ""

    def __post_init__(self) -> None:
        words = self.tag.replace("_", " ")
        if (self.cleared_on is None) != (not self.cleared_by.strip()):
            raise AthleteError(f"{words}: clearing takes a day and the name of who cleared it.")
        if self.cleared_on is not None and self.cleared_on < self.since:
            raise AthleteError(
                f"{words}: cleared on {self.cleared_on}, before it began on {self.since}."
            )

    @property
    def is_open(self) -> bool:
        """Whether nobody has cleared it yet."""
        return self.cleared_on is None

    def holds_on(self, day: date) -> bool:
        """Whether the restriction is in force on a day: no date but a clearing ends it."""
        return self.since <= day and (self.cleared_on is None or day < self.cleared_on)

    def asks_on(self, day: date) -> bool:
        """Whether the coach is to be asked, from the day to ask again on."""
        return self.is_open and self.until is not None and self.until <= day

    def is_expected_on(self, day: date) -> bool:
        """For looking weeks ahead only: until it is cleared, or else until the day to ask again."""
        return self.holds_on(day) and (self.until is None or day <= self.until)

    def bars_lift(self, lift: Lift) -> bool:
        """Whether it rules this lift out."""
        return self.tag in lift.tags or self.tag == lift.key


@dataclass(frozen=True, slots=True)
class BarHeights:
    """Bar heights taped on the athlete, all optional.

    Parameters
    ----------
    pull_lockout : Length or None
        Bar at deadlift lockout, arms hanging.
    front_rack : Length or None
        Bar on the shoulders before a press.
    overhead : Length or None
        Bar locked out overhead.
    squat_top, squat_bottom : Length or None
        Bar on the back standing, and at depth.
    bench_top, bench_bottom : Length or None
        Bar over the bench locked out, and on the chest.
    """

    pull_lockout: Length | None = None
    front_rack: Length | None = None
    overhead: Length | None = None
    squat_top: Length | None = None
    squat_bottom: Length | None = None
    bench_top: Length | None = None
    bench_bottom: Length | None = None


@dataclass(frozen=True, slots=True)
class Athlete:
    """An athlete.

    Parameters
    ----------
    id : AthleteId
        Steady key within the gym.
    name : str
        As called across the room.
    number : int
        Squad number, shown with the name wherever a load is.
    sex : Sex
        For contest classes and published ratios.
    born_on : date or None
        None counts as a minor (trust.md).
    body_mass : Mass or None
        Last entered.
    stature : Length or None
        None: heights must be taped before bands can be chosen from stature.
    heights : BarHeights
        Taped heights.
    weak_points : Mapping
        Weak point -> 0–1.
    restrictions : tuple of Restriction
        Open, or cleared: kept as long as a ramp back may follow from them.
    priority : float
        How much the season leans to this athlete, 0.5–3, 1 by default.
    away_since, back_on : date or None
        A lay-off: last day trained before it, first day back.
    guardian, supervisor : str
        For minors, names; empty if none is on record.
    joined_on : date or None
        First class.
    """

    id: AthleteId
    name: str
    number: int
    sex: Sex
    born_on: date | None = None
    body_mass: Mass | None = None
    stature: Length | None = None
    heights: BarHeights = BarHeights()
    weak_points: Mapping[WeakPoint, float] = field(default_factory=dict)
    restrictions: tuple[Restriction, ...] = ()
    priority: float = 1.0
    away_since: date | None = None
    back_on: date | None = None
    guardian: str = ""
    supervisor: str = ""
    joined_on: date | None = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise AthleteError(f"Athlete number {self.number} has no name: enter one.")
        if self.number < 1:
            raise AthleteError(f"{self.name}: the squad number must be 1 or more.")

    def is_minor_on(self, day: date) -> bool:
        """Whether the athlete is under 18 on a day; an unknown birth date counts as a minor."""
        if self.born_on is None:
            return True
        had_birthday = (day.month, day.day) >= (self.born_on.month, self.born_on.day)
        return day.year - self.born_on.year - (not had_birthday) < ADULT_YEARS

    def may_do(self, lift: Lift, day: date) -> bool:
        """Whether no restriction in force on ``day`` rules the lift out."""
        return self.restriction_against(lift, day) is None

    def is_expected_to_do(self, lift: Lift, day: date) -> bool:
        """Whether a season may count on the lift; the class of the day asks ``may_do``."""
        return not any(
            rule.bars_lift(lift) and rule.is_expected_on(day) for rule in self.restrictions
        )

    def restriction_against(self, lift: Lift, day: date) -> Restriction | None:
        """The first restriction in force on ``day`` that rules the lift out, or None."""
        in_force = (rule for rule in self.restrictions if rule.holds_on(day))
        return next((rule for rule in in_force if rule.bars_lift(lift)), None)

    def restricted_lifts(self, lifts: Mapping[LiftKey, Lift], day: date) -> frozenset[LiftKey]:
        """Keys of the lifts that are off for this athlete on ``day``."""
        return frozenset(key for key, lift in lifts.items() if not self.may_do(lift, day))
