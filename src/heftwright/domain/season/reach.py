"""Who of the class really does a lift: kit split with a twin, restrictions with a substitute."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from heftwright.domain.catalogue import Catalogue, KitKey, Lift, Pattern, Resistance
from heftwright.domain.season.problem import Floats, SlotDay
from heftwright.domain.season.rules import SeasonRules
from heftwright.domain.season.weeks import DAYS_A_WEEK
from heftwright.domain.season.worth import Tables
from heftwright.domain.squad import Athlete


@dataclass(frozen=True, slots=True)
class Option:
    """A lift with one resistance in one slot."""

    slot_day: SlotDay
    lift: Lift
    resistance: Resistance

    @property
    def kit(self) -> tuple[KitKey, ...]:
        """What each unit needs."""
        form = self.lift.dynamic_form(self.resistance) if self.slot_day.slot.is_dynamic else None
        return form.kit if form else self.lift.kit

    @property
    def setup_min(self) -> float:
        """Minutes to set up [min]."""
        form = self.lift.dynamic_form(self.resistance) if self.slot_day.slot.is_dynamic else None
        return form.setup_min if form else self.lift.setup_min

    @property
    def recovery_factor(self) -> float:
        """Exposure relative to straight weight."""
        form = self.lift.dynamic_form(self.resistance) if self.slot_day.slot.is_dynamic else None
        return form.recovery_factor if form else 1.0


def options_of(catalogue: Catalogue, slot_day: SlotDay) -> tuple[Option, ...]:
    """All ways to fill a slot, in catalogue order."""
    found: list[Option] = []
    for lift in catalogue.for_slot(slot_day.slot):
        if not slot_day.slot.is_dynamic:
            found.append(Option(slot_day, lift, Resistance.STRAIGHT))
            continue
        found += [
            Option(slot_day, lift, form.resistance)
            for form in lift.dynamic
            if form.slot == slot_day.slot
        ]
    return tuple(found)


def athletes_at_once(
    kit: Sequence[KitKey], units: Mapping[KitKey, int], per_unit: Mapping[KitKey, int]
) -> int:
    """How many athletes the kit serves in one class."""
    return min((units.get(key, 0) * per_unit[key] for key in kit), default=10_000)


@dataclass(frozen=True, slots=True)
class Gym:
    """What decides who does what."""

    catalogue: Catalogue
    units: Mapping[KitKey, int]
    athletes: tuple[Athlete, ...]
    start: date
    rules: SeasonRules

    def at_once(self, option: Option) -> int:
        """How many of a class can do an option."""
        return athletes_at_once(option.kit, self.units, self.catalogue.athletes_per_unit)

    def twin_of(self, option: Option, others: Sequence[Option]) -> Option | None:
        """The nearest lift of the same pattern with kit for the rest of the class, or None."""
        able = [
            other
            for other in others
            if other != option
            and _twin_pattern(other.lift) == _twin_pattern(option.lift)
            and self._serves_the_rest(other, option)
        ]
        return min(able, key=lambda other: _distance(option.lift, other.lift), default=None)

    def _serves_the_rest(self, twin: Option, option: Option) -> bool:
        """Kit that both need must serve the whole class, the twin's own kit the others."""
        size = option.slot_day.class_size
        rest = size - self.at_once(option)
        return all(
            athletes_at_once((kit,), self.units, self.catalogue.athletes_per_unit)
            >= (size if kit in option.kit else rest)
            for kit in twin.kit
        )


def _twin_pattern(lift: Lift) -> Pattern:
    # A hold has no second of its kind: those who wait for the handles carry something.
    return Pattern.CARRY if lift.pattern == Pattern.HOLD else lift.pattern


def _distance(one: Lift, other: Lift) -> float:
    families = one.transfer.keys() | other.transfer.keys()
    return sum(abs(one.transfer.get(f, 0.0) - other.transfer.get(f, 0.0)) for f in families)


def squad_value(
    gym: Gym, option: Option, others: Sequence[Option], tables: Tables, need: Floats
) -> Floats | None:
    """Worth by week and demand as the squad really gets it; None where kit rules it out.

    The athletes who gain most get a scarce lift, the others its twin; restricted athletes get
    the best allowed lift of the slot at ``substitute_value``.
    """
    own = tables.value[:, tables.row_of[option.lift.key], :]
    at_once, size = gym.at_once(option), option.slot_day.class_size
    second = own
    if at_once < size:
        twin = gym.twin_of(option, others)
        if at_once < gym.rules.split_share * size or twin is None:
            return None
        second = tables.value[:, tables.row_of[twin.lift.key], :]
    share = min(1.0, at_once / size)
    gets = _who_gets_it(need, own - second, share)
    real = _average(gets, own, second, need)
    return _with_substitutes(gym, option, others, tables, (need, gets, real, own, second))


def _who_gets_it(need: Floats, gain: Floats, share: float) -> Floats:
    """Athletes × weeks, 1 for those who do the lift itself."""
    count = need.shape[0]
    if share >= 1:
        return np.ones((count, gain.shape[0]))
    scores = need @ gain.T
    ranks = np.argsort(np.argsort(-scores, axis=0, kind="stable"), axis=0, kind="stable")
    return (ranks < int(count * share)).astype(float)


def _average(gets: Floats, own: Floats, second: Floats, need: Floats) -> Floats:
    total = need.sum(axis=0)
    part = (gets.T @ need) / np.where(total > 0, total, 1.0)
    part[:, total <= 0] = 1.0
    return second + part * (own - second)


def _with_substitutes(
    gym: Gym, option: Option, others: Sequence[Option], tables: Tables,
    parts: tuple[Floats, Floats, Floats, Floats, Floats],
) -> Floats:  # fmt: skip
    need, gets, real, own, second = parts
    total = np.where(need.sum(axis=0) > 0, need.sum(axis=0), np.inf)
    real = real.copy()
    able = [other.lift for other in others if gym.at_once(other) > 0]
    for a, athlete in enumerate(gym.athletes):
        if not any(rule.bars_lift(option.lift) for rule in athlete.restrictions):
            continue
        for week in _restricted_weeks(gym, athlete, option, real.shape[0]):
            had = gets[a, week] * own[week] + (1 - gets[a, week]) * second[week]
            day = gym.start + timedelta(days=DAYS_A_WEEK * week + option.slot_day.weekday)
            allowed = {lift.key for lift in able if athlete.is_expected_to_do(lift, day)}
            rows = [tables.row_of[key] for key in sorted(allowed)]
            best = _best_row(tables.value[week, rows], need[a])
            real[week] += need[a] * (gym.rules.substitute_value * best - had) / total
    return real


def _restricted_weeks(gym: Gym, athlete: Athlete, option: Option, weeks: int) -> list[int]:
    first = gym.start + timedelta(days=option.slot_day.weekday)
    days = [first + timedelta(days=DAYS_A_WEEK * week) for week in range(weeks)]
    return [w for w, day in enumerate(days) if not athlete.is_expected_to_do(option.lift, day)]


def _best_row(values: Floats, need: Floats) -> Floats:
    """The lift most worth to an athlete; nothing where none is allowed."""
    if not len(values):
        return np.zeros(len(need))
    return np.asarray(values[int(np.argmax(values @ need))])
