"""The hard rules of the season as named rows over the columns: low ≤ row · choice ≤ high."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from heftwright.domain.catalogue import KitKey, Resistance, Slot
from heftwright.domain.season.columns import WAVE_WEEKS, has_reps_event
from heftwright.domain.season.history import is_ahead
from heftwright.domain.season.legal_loads import load_rows
from heftwright.domain.season.legal_row import Row, Rule
from heftwright.domain.season.problem import (
    Column,
    Firmness,
    Floats,
    SeasonProblem,
    pinned_columns,
)
from heftwright.domain.season.weeks import WeekKind
from heftwright.domain.season.worth import is_specific

SHORT_WAVES_REPLANNING = 2


@dataclass(frozen=True, slots=True)
class LegalRows:
    """All rows of a problem as one sparse matrix; ``rows`` in the same order."""

    rows: tuple[Row, ...]
    matrix: sparse.csr_matrix
    low: Floats
    high: Floats

    def broken_by(self, chosen: Floats) -> tuple[Row, ...]:
        """Rows that a choice breaks."""
        activity = self.matrix @ chosen
        bad = (activity > self.high + 1e-6) | (activity < self.low - 1e-6)
        return tuple(self.rows[i] for i in np.flatnonzero(bad))

    def broken_but_cover(self, chosen: Floats) -> tuple[Row, ...]:
        """Broken rows other than blank cells, and than drift from or to a blank."""
        broken = self.broken_by(chosen)
        blank = {(row.slot, row.week) for row in broken if row.rule == Rule.COVER}
        return tuple(row for row in broken if not self._is_beside(row, blank))

    @staticmethod
    def _is_beside(row: Row, blank: set[tuple[Slot | None, int]]) -> bool:
        if row.rule == Rule.COVER:
            return True
        cells = {(row.slot, row.week), (row.slot, row.week + 1)}
        return row.rule == Rule.DRIFT and not cells.isdisjoint(blank)


class RowMaker:
    """Makes the rows of one problem, a method a rule."""

    def __init__(self, problem: SeasonProblem) -> None:
        self.problem = problem
        self.rules = problem.rules
        self.covering: dict[tuple[Slot, int], list[int]] = defaultdict(list)
        for j, column in enumerate(problem.columns):
            for week in column.span:
                self.covering[column.slot, week].append(j)

    def all_rows(self) -> Iterator[Row]:
        """Every row of every rule."""
        for slot_day in self.problem.slot_days:
            slot = slot_day.slot
            if slot == Slot.IMPLEMENT:
                yield from self.implement_rows(slot)
            else:
                yield from self.cover_rows(slot)
            if slot.is_max_effort:
                yield from self.run_rows(slot)
            if slot.is_dynamic:
                yield from self.wave_rows(slot)
                yield from self.short_wave_rows(slot)
                yield from self.drift_rows(slot)
            else:
                yield from self.repeat_rows(slot)
        yield from load_rows(self.problem, self.covering)
        yield from self.pin_rows()

    def ahead(self, slot: Slot) -> list[int]:
        """Training weeks of a slot that are ahead."""
        problem = self.problem
        return [
            week
            for run in problem.runs
            for week in run
            if is_ahead(slot, week, problem.done, problem.start)
        ]

    def cover_rows(self, slot: Slot) -> Iterator[Row]:
        """One lift a slot-week (the model adds a blank session)."""
        for week in self.ahead(slot):
            parts = dict.fromkeys(self.covering[slot, week], 1.0)
            yield Row(Rule.COVER, 1, 1, parts, week, slot)

    def implement_rows(self, slot: Slot) -> Iterator[Row]:
        """Stations, each lift once, minutes, scarce kit."""
        slot_day = self.problem.slot_day(slot)
        assert slot_day is not None
        rules = self.rules
        minutes = slot_day.minutes or rules.implement_minutes
        for week in self.ahead(slot):
            mine = self.covering[slot, week]
            is_taper = self.problem.kinds[week] == WeekKind.TAPER
            most = rules.stations_most_taper if is_taper else rules.stations_most
            yield Row(Rule.STATIONS, -np.inf, most, dict.fromkeys(mine, 1.0), week, slot)
            for group in self._grouped(mine, lambda c: c.lift).values():
                yield Row(Rule.ONCE, -np.inf, 1, dict.fromkeys(group, 1.0), week, slot)
            needed = {j: self._setup(j) + rules.station_work_min for j in mine}
            yield Row(Rule.MINUTES, -np.inf, minutes, needed, week, slot)
            yield from self._scarce_rows(slot, week, mine)

    def _setup(self, j: int) -> float:
        return self.problem.catalogue[self.problem.columns[j].lift].setup_min

    def _scarce_rows(self, slot: Slot, week: int, mine: Sequence[int]) -> Iterator[Row]:
        users: dict[KitKey, list[int]] = defaultdict(list)
        for j in mine:
            for kit in self.problem.catalogue[self.problem.columns[j].lift].kit:
                if self.problem.units.get(kit, 0) <= self.rules.scarce_units:
                    users[kit].append(j)
        for group in users.values():
            if len({self.problem.columns[j].lift for j in group}) > 1:
                yield Row(Rule.SCARCE_KIT, -np.inf, 1, dict.fromkeys(group, 1.0), week, slot)

    def _grouped(
        self, columns: Iterable[int], key: Callable[[Column], object]
    ) -> dict[object, list[int]]:
        groups: dict[object, list[int]] = defaultdict(list)
        for j in columns:
            groups[key(self.problem.columns[j])].append(j)
        return groups

    def _window(self, slot: Slot, week: int, weeks: int) -> list[int]:
        """Single-week columns of a slot in a window."""
        return [j for w in range(week, week + weeks) for j in self.covering.get((slot, w), ())]

    def repeat_rows(self, slot: Slot) -> Iterator[Row]:
        """The same lift not again within the gap; the contest's own lift may, near it."""
        rules = self.rules
        gap = rules.max_effort_gap_weeks if slot.is_max_effort else rules.implement_gap_weeks
        if not gap:
            return
        for week in range(self.problem.weeks):
            window = self._grouped(self._window(slot, week, gap), lambda c: c.lift)
            short = self._grouped(self._window(slot, week, rules.near_gap_weeks), lambda c: c.lift)
            for lift, group in window.items():
                retests = self._retests(slot, str(lift), range(week, week + gap))
                near = [j for j in group if self._is_near(self.problem.columns[j])]
                if not near:
                    yield self._repeat_row(slot, week, dict.fromkeys(group, 1.0), max(1, retests))
                    continue
                parts = {j: 1.0 if j in near else 2.0 for j in group}
                yield self._repeat_row(slot, week, parts, max(2, 2 * retests))
                close = dict.fromkeys(short.get(lift, ()), 1.0)
                yield self._repeat_row(slot, week, close, max(1, retests))

    def _repeat_row(self, slot: Slot, week: int, parts: dict[int, float], high: float) -> Row:
        return Row(Rule.REPEAT, -np.inf, high, parts, week, slot)

    def _retests(self, slot: Slot, lift: str, weeks: range) -> int:
        return sum(
            pin.slot == slot
            and pin.lift == lift
            and pin.firmness == Firmness.RETEST
            and self.problem.week_of(pin.monday) in weeks
            for pin in self.problem.pins
        )

    def _is_near(self, column: Column) -> bool:
        """Whether it is the own lift of a contest in its last weeks."""
        lift = self.problem.catalogue[column.lift]
        for contest in self.problem.contests:
            left = self.problem.week_of(contest.on) - column.week
            if not 0 < left <= self.rules.coverage_weeks:
                continue
            if not contest.squad_taper and column.slot.is_max_effort:
                continue
            if any(is_specific(lift, event, self.rules) for event in contest.events):
                return True
        return False

    def run_rows(self, slot: Slot) -> Iterator[Row]:
        """No movement and no scheme too many weeks in a row."""
        most = self.rules.in_a_row_most
        catalogue = self.problem.catalogue
        for week in range(self.problem.weeks - most):
            window = self._window(slot, week, most + 1)
            for group in self._grouped(window, lambda c: catalogue[c.lift].pattern).values():
                yield Row(Rule.PATTERN_RUN, -np.inf, most, dict.fromkeys(group, 1.0), week, slot)
            for group in self._grouped(window, lambda c: c.step).values():
                yield Row(Rule.SCHEME_RUN, -np.inf, most, dict.fromkeys(group, 1.0), week, slot)

    def _starting(self, slot: Slot, week: int, weeks: int) -> list[int]:
        """Waves of a slot that start in a window."""
        span = range(week, week + weeks)
        return [
            j
            for w in span
            for j in self.covering.get((slot, w), ())
            if self.problem.columns[j].week == w
        ]

    def wave_rows(self, slot: Slot) -> Iterator[Row]:
        """After a wave something changes; bands alternate."""
        rules = self.rules
        for week in range(self.problem.weeks):
            window = self._starting(slot, week, rules.wave_gap_weeks)
            for group in self._grouped(window, lambda c: (c.lift, c.resistance)).values():
                yield Row(Rule.WAVE_CHANGE, -np.inf, 1, dict.fromkeys(group, 1.0), week, slot)
            longer = self._starting(slot, week, rules.base_gap_weeks)
            for group in self._grouped(longer, lambda c: c.lift).values():
                parts = dict.fromkeys(group, 1.0)
                yield Row(Rule.WAVE_CHANGE, -np.inf, rules.base_gap_most, parts, week, slot)
            if rules.banded_waves_in_a_row:
                yield from self._band_rows(slot, week)

    def _band_rows(self, slot: Slot, week: int) -> Iterator[Row]:
        # Any window of 3n + 1 weeks in a row meets n + 1 waves with bands or leaves a gap.
        weeks = 3 * self.rules.banded_waves_in_a_row + 1
        run = range(week, week + weeks)
        if run.stop > self.problem.weeks or not all(self.problem.kinds[w].is_training for w in run):
            return
        parts: dict[int, float] = defaultdict(float)
        for w in run:
            for j in self.covering.get((slot, w), ()):
                if self.problem.columns[j].resistance == Resistance.BANDS:
                    parts[j] += 1.0
        yield Row(Rule.BANDS, -np.inf, weeks - 1, dict(parts), week, slot)

    def short_wave_rows(self, slot: Slot) -> Iterator[Row]:
        """When re-planning, a second short wave may mend a run; the usual grid has but one."""
        if self.problem.previous is None:
            return
        for run in self.problem.runs:
            short = [
                j
                for j in self._starting(slot, run.start, len(run))
                if self.problem.columns[j].weeks < WAVE_WEEKS
                and not self.problem.columns[j].is_done
            ]
            most = SHORT_WAVES_REPLANNING
            yield Row(Rule.SHORT_WAVES, -np.inf, most, dict.fromkeys(short, 1.0), run.start, slot)

    def drift_rows(self, slot: Slot) -> Iterator[Row]:
        """Set schemes drift one way, a step at a time, within a run of training weeks."""
        for run in self.problem.runs:
            for week in run[:-1]:
                parts: dict[int, float] = defaultdict(float)
                for j in self.covering[slot, week]:
                    parts[j] -= self.problem.columns[j].step
                for j in self.covering[slot, week + 1]:
                    parts[j] += self.problem.columns[j].step
                parts = {j: value for j, value in parts.items() if value}
                if any(self.problem.columns[j].is_done for j in parts):
                    continue  # what was done under another calendar cannot bind the drift
                low, high = (0, 1) if self.asks_reps(slot, week) else (-1, 0)
                if parts:
                    # Two rows, so that a blank beside them can loosen each (see the model).
                    yield Row(Rule.DRIFT, low, np.inf, parts, week, slot)
                    yield Row(Rule.DRIFT, -np.inf, high, parts, week, slot)

    def asks_reps(self, slot: Slot, week: int) -> bool:
        """Whether the next squad contest has a reps event on the slot's side."""
        mains = [c for c in self.problem.contests if c.squad_taper]
        ahead = [c for c in mains if self.problem.week_of(c.on) >= week]
        return bool(ahead) and has_reps_event(ahead[0], is_lower=slot.is_lower)

    def pin_rows(self) -> Iterator[Row]:
        """Each pin is kept."""
        for pin in self.problem.pins:
            week = self.problem.week_of(pin.monday)
            if not is_ahead(pin.slot, week, self.problem.done, self.problem.start):
                continue
            parts = dict.fromkeys(pinned_columns(self.problem, pin), 1.0)
            yield Row(Rule.PIN, 1, np.inf, parts, week, pin.slot, pin=pin)


def legal_rows(problem: SeasonProblem) -> LegalRows:
    """All hard rows; where done work alone breaks one, nothing more may be added."""
    rows = [row for row in RowMaker(problem).all_rows() if row.parts or row.low > 0]
    index = np.repeat(np.arange(len(rows)), [len(row.parts) for row in rows])
    columns = np.fromiter((j for row in rows for j in row.parts), dtype=np.int64)
    values = np.fromiter((v for row in rows for v in row.parts.values()), dtype=float)
    shape = (len(rows), len(problem.columns))
    matrix = sparse.csr_matrix((values, (index, columns)), shape=shape)
    low, high = np.array([row.low for row in rows]), np.array([row.high for row in rows])
    fixed = matrix @ np.array([float(column.is_done) for column in problem.columns])
    return LegalRows(tuple(rows), matrix, low, np.maximum(high, fixed))
