"""Builds the season problem from the gym's own values."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from scipy import sparse

from heftwright.domain.catalogue import (
    Catalogue,
    Implement,
    KitKey,
    LiftKey,
    Region,
    Resistance,
    Slot,
)
from heftwright.domain.contest import Contest, Travel
from heftwright.domain.season.after_work import AfterPin
from heftwright.domain.season.columns import Calendar, ColumnMaker, replanning_grid, wave_grid
from heftwright.domain.season.history import done_columns, free_weeks, last_done_week
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import (
    Column,
    Floats,
    Forbid,
    Ints,
    Pin,
    SeasonProblem,
    SeasonProblemError,
    SlotDay,
    kind_of,
)
from heftwright.domain.season.reach import Gym, Option, options_of, squad_value
from heftwright.domain.season.rules import SeasonRules, WorkKind
from heftwright.domain.season.warnings import warnings_of
from heftwright.domain.season.weeks import DAYS_A_WEEK, WeekKind, lay_weeks, week_of
from heftwright.domain.season.work import SlotWork
from heftwright.domain.season.worth import Tables, gather_wants, tabulate
from heftwright.domain.squad import Athlete, Timetable
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.domain.stock import Stock

LEAST_WEEKS = 4
BASE_WEEKS = 12
HUNDREDTHS = 100
TENTHS = 10


def build_problem(  # noqa: PLR0913 - the season reads the whole gym
    *,
    athletes: Sequence[Athlete],
    stock: Stock,
    contests: Sequence[Contest],
    timetable: Timetable,
    catalogue: Catalogue,
    start: date,
    rules: SeasonRules | None = None,
    pins: Sequence[Pin] = (),
    forbids: Sequence[Forbid] = (),
    done: tuple[SlotWork, ...] = (),
    previous: SeasonPlan | None = None,
    closed: Sequence[ClosedSpan] = (),
    after_pins: Sequence[AfterPin] = (),
    travels: Sequence[Travel] = (),
) -> SeasonProblem:
    """Build the season from ``start`` to the last contest in view.

    Parameters
    ----------
    athletes, stock, contests, timetable, catalogue
        The gym. Contests before ``start`` are left out; without any, 12 weeks of base work.
    start : date
        A Monday.
    rules : SeasonRules or None
        None: the defaults.
    pins, forbids
        The coach's.
    done : tuple of SlotWork
        What has been trained; fixed. Slots up to the last done week count as past.
    previous : SeasonPlan or None
        The plan to stay close to.
    closed : sequence of ClosedSpan
        When the gym is shut: a week with half of its main days shut has no main work.
    after_pins : sequence of AfterPin
        What the coach fixed after main lifts; the main lifts leave it its time and its budget.

    travels : sequence of Travel
        Days that contests abroad take their entrants out of the gym.

    Raises
    ------
    SeasonProblemError
        If ``start`` is not a Monday, nobody trains, kit keys are unknown, or a pin names an
        unknown lift or slot.
    """
    rules = rules or SeasonRules()
    ahead = sorted((c for c in contests if c.on >= start), key=lambda c: (c.on, c.id))
    _check_inputs(athletes, start, catalogue, stock.kit_units(), done)
    weeks = _season_weeks(ahead, start, last_done_week(done, start))
    mains = tuple((week_of(c.on, start), c) for c in ahead if c.squad_taper)
    slot_days = lay_slots(timetable, len(athletes))
    shut = shut_weeks(closed, slot_days, start, weeks)
    kinds = lay_weeks(weeks, [week for week, _ in mains], rules.easy_every_weeks, shut)
    done = tuple(_as_now(work, kinds, start) for work in done)
    _check_pins(pins, slot_days, catalogue, start, weeks)
    gym = Gym(catalogue, stock.kit_units(), tuple(athletes), start, rules)
    placed = [(c, week_of(c.on, start)) for c in ahead]
    wants = gather_wants(athletes, placed, weeks, rules)
    tables = tabulate(catalogue, wants.demands, weeks, [week for week, _ in mains], rules)
    maker = ColumnMaker(gym, Calendar(kinds, mains), forbids, after_pins)
    columns, gains = _all_columns(
        gym, maker, tables, wants.need, (kinds, slot_days, done, previous)
    )
    problem = SeasonProblem(
        start=start, kinds=kinds, slot_days=slot_days, catalogue=catalogue, units=gym.units,
        athletes=gym.athletes, contests=tuple(ahead), rules=rules, pins=tuple(pins),
        forbids=tuple(forbids), done=done, previous=previous, demands=wants.demands,
        columns=tuple(columns), removed=tuple(maker.removed), gains=gains,
        exposure=_exposures(columns, catalogue, rules), warnings=(),
        closed=tuple(closed), after_pins=tuple(after_pins),
        travels=tuple(travels),
    )  # fmt: skip
    return replace(problem, warnings=warnings_of(problem))


def _check_inputs(
    athletes: Sequence[Athlete], start: date, catalogue: Catalogue,
    units: Mapping[KitKey, int], done: Sequence[SlotWork],
) -> None:  # fmt: skip
    if start.weekday() != 0:
        raise SeasonProblemError(f"The season must start on a Monday; {start} is not one.")
    if not athletes:
        raise SeasonProblemError("There is nobody to plan for: enter the squad first.")
    check_kit(units, catalogue)
    for work in done:
        if work.monday < start or work.monday.weekday() != 0:
            raise SeasonProblemError(
                f"Done work in the week of {work.monday} must lie on a Monday from {start} on."
            )


def check_kit(units: Mapping[KitKey, int], catalogue: Catalogue) -> None:
    """Refuse kit that no lift knows: a misspelt key would quietly switch a rule off.

    Raises
    ------
    SeasonProblemError
        With the unknown keys. Kit that a gym simply does not own is fine.
    """
    known = set(catalogue.athletes_per_unit) | _implement_kit()
    unknown = sorted(set(units) - known)
    if unknown:
        raise SeasonProblemError(
            f"Stock lists kit that no lift knows: {', '.join(unknown)}. Known kit: "
            f"{', '.join(sorted(catalogue.athletes_per_unit))}."
        )
    below = sorted(key for key, count in units.items() if count < 0)
    if below:
        raise SeasonProblemError(f"Stock counts must be 0 or more: {', '.join(below)}.")


def _implement_kit() -> set[str]:
    return {item.value for item in Implement}


def _as_now(work: SlotWork, kinds: Sequence[WeekKind], start: date) -> SlotWork:
    """Done work under the calendar as it stands now: a contest may have moved since."""
    is_taper = not work.is_easy and kinds[week_of(work.monday, start)] == WeekKind.TAPER
    return work if work.is_taper == is_taper else replace(work, is_taper=is_taper)


def _season_weeks(contests: Sequence[Contest], start: date, last_done: int) -> int:
    if not contests or week_of(contests[-1].on, start) <= last_done:
        return last_done + 1 + BASE_WEEKS
    return max(LEAST_WEEKS, week_of(contests[-1].on, start) + 1)


def lay_slots(timetable: Timetable, squad_size: int) -> tuple[SlotDay, ...]:
    """Main slots with their days from the timetable, in order of the week."""
    found: list[SlotDay] = []
    for slot in Slot:
        classes = [item for item in timetable.classes if item.slot == slot]
        if not classes:
            continue
        days = Counter(item.weekday.value for item in classes)
        weekday = min(days, key=lambda day: (-days[day], day))
        most = max(len(item.members) for item in classes)
        found.append(
            SlotDay(
                slot, weekday, max(days), min(item.minutes for item in classes),
                most or -(-squad_size // len(classes)),
            )
        )  # fmt: skip
    if not found:
        raise SeasonProblemError("The timetable has no class with a main slot: enter one.")
    return tuple(sorted(found, key=lambda item: item.weekday))


def shut_weeks(
    closed: Sequence[ClosedSpan], slot_days: Sequence[SlotDay], start: date, weeks: int
) -> tuple[int, ...]:
    """Weeks in which half of the main days or more fall on days when the gym is shut."""
    if not closed:
        return ()
    return tuple(
        week
        for week in range(weeks)
        if 2 * len(shut_slots(closed, slot_days, start + timedelta(days=DAYS_A_WEEK * week)))
        >= len(slot_days)
    )


def shut_slots(
    closed: Sequence[ClosedSpan], slot_days: Sequence[SlotDay], monday: date
) -> tuple[SlotDay, ...]:
    """Main days of a week that fall on a day when the gym is shut."""
    return tuple(
        day
        for day in slot_days
        if any(span.holds(monday + timedelta(days=day.weekday)) for span in closed)
    )


def _check_pins(
    pins: Sequence[Pin], slot_days: Sequence[SlotDay], catalogue: Catalogue, start: date, weeks: int
) -> None:
    slots = {item.slot for item in slot_days}
    for pin in pins:
        lift = catalogue[pin.lift]
        if pin.slot not in slots or pin.slot not in lift.slots:
            raise SeasonProblemError(
                f"{lift.name} cannot be pinned to {pin.slot.shown}: the timetable or the lift "
                "has no such slot."
            )
        if pin.monday.weekday() != 0 or not 0 <= week_of(pin.monday, start) < weeks:
            raise SeasonProblemError(
                f"The pin of {lift.name} on {pin.monday} must name a Monday of the season."
            )


def _all_columns(
    gym: Gym, maker: ColumnMaker, tables: Tables, need: Floats,
    frame: tuple[
        tuple[WeekKind, ...], tuple[SlotDay, ...], tuple[SlotWork, ...], SeasonPlan | None
    ],
) -> tuple[list[Column], sparse.csc_matrix]:  # fmt: skip
    kinds, slot_days, done, previous = frame
    columns: list[Column] = []
    gains: list[Floats] = []
    for slot_day in slot_days:
        options = options_of(gym.catalogue, slot_day)
        past = done_columns(slot_day.slot, done, gym.start, kinds)
        free = free_weeks(slot_day.slot, done, gym.start, kinds, past)
        places = _places(slot_day.slot, free, previous, gym.start)
        values: dict[tuple[str, Resistance], Floats] = {}
        fresh: list[Column] = []
        for option in options:
            real = squad_value(gym, option, options, tables, need)
            key = (option.lift.key, option.resistance)
            values[key] = _fallback(tables, option) if real is None else real
            fresh += _fresh_columns(maker, option, places, has_kit=real is not None)
        mine = past + fresh
        for column in mine:
            plain = tables.value[:, tables.row_of[column.lift], :]
            real = values.get((column.lift, column.resistance), plain)
            gains.append(_gain(column, real, tables, kinds, gym.rules))
        columns += mine
    matrix = np.rint(HUNDREDTHS * np.array(gains)).T if gains else np.zeros((need.shape[1], 0))
    return columns, sparse.csc_matrix(matrix)


def _fallback(tables: Tables, option: Option) -> Floats:
    return tables.value[:, tables.row_of[option.lift.key], :]


def _places(
    slot: Slot, free: Sequence[range], previous: SeasonPlan | None, start: date
) -> list[tuple[int, int]]:
    """Weeks and lengths that choices of a slot may take."""
    if not slot.is_dynamic:
        return [(week, 1) for run in free for week in run]
    if previous is None:
        return [item for run in free for item in wave_grid(run)]
    old = {
        (week_of(work.monday, start), work.wave_weeks)
        for work in previous.work
        if work.slot == slot and work.wave_week == 1
    }
    return [item for run in free for item in replanning_grid(run, old)]


def _fresh_columns(
    maker: ColumnMaker, option: Option, places: Sequence[tuple[int, int]], *, has_kit: bool
) -> list[Column]:
    if option.slot_day.slot.is_dynamic:
        return list(maker.waves(option, places, has_kit=has_kit))
    weeks = [week for week, _ in places]
    return list(maker.singles(option, weeks, has_kit=has_kit))


def _gain(
    column: Column, real: Floats, tables: Tables, kinds: Sequence[WeekKind], rules: SeasonRules
) -> Floats:
    kind = kind_of(column.slot)
    span = slice(column.week, column.week + column.weeks)
    eased = [rules.taper_value if kinds[w] == WeekKind.TAPER else 1.0 for w in column.span]
    weekly = real[span] * tables.scheme[kind, column.step][span] * np.array(eased)[:, None]
    factor = rules.kind_dose[kind] * rules.resistance_gain[column.resistance]
    return np.asarray(factor * weekly.sum(axis=0))


def _exposures(columns: Sequence[Column], catalogue: Catalogue, rules: SeasonRules) -> Ints:
    known: dict[tuple[WorkKind, LiftKey, Resistance, int], list[tuple[int, int]]] = {}
    rows: list[list[tuple[int, int]]] = []
    for column in columns:
        key = (kind_of(column.slot), column.lift, column.resistance, column.step)
        if key not in known:
            known[key] = [_exposure(column, region, catalogue, rules) for region in Region]
        rows.append(known[key])
    return np.array(rows, dtype=np.int64).reshape(len(columns), len(Region), 2)


def _exposure(
    column: Column, region: Region, catalogue: Catalogue, rules: SeasonRules
) -> tuple[int, int]:
    kind = kind_of(column.slot)
    lift = catalogue[column.lift]
    value = TENTHS * lift.exposure.get(region, 0.0) * rules.scheme_volume[kind][column.step]
    if kind == WorkKind.DYNAMIC:
        value *= rules.dynamic_exposure
        form = lift.dynamic_form(column.resistance)
        value *= form.recovery_factor if form and rules.counts_recovery else 1.0
    return _half_up(value), _half_up(value * rules.taper_volume)


def _half_up(value: float) -> int:
    # Halves go up, as on paper; the small term keeps 2.5 from being read as 2.4999….
    return math.floor(value + 0.5 + 1e-9)
