"""Checks a season against every rule, apart from the code that builds and solves it.

Nothing here uses the problem's columns, rows or coefficients: only the gym's own values (lifts,
stock, contests, rules) and the plan's work orders. What was done stays; a rule that done work
alone breaks is not held against the plan, but nothing may be added to it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from heftwright.domain.catalogue import (
    LiftKey,
    MaxEffortScheme,
    Resistance,
    Slot,
)
from heftwright.domain.contest import EventStyle
from heftwright.domain.season.check_after import after_sentences, light_sentences
from heftwright.domain.season.check_calendar import (
    WAVE,
    WEEK,
    is_open,
    monday_of,
    own_kinds,
    settled,
    split_waves,
    was_done,
    work_words,
)
from heftwright.domain.season.check_choice import allowed_sentences
from heftwright.domain.season.check_loads import load_sentences
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import Firmness, SeasonProblem
from heftwright.domain.season.work import SlotWork

SLACK = 1e-6


def check_season(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """Sentences of violated rules; empty if the plan keeps them all.

    Parameters
    ----------
    problem : SeasonProblem
        For the gym's values and rules.
    plan : SeasonPlan
        Any plan, whoever made it.
    """
    check = _Check(problem, plan)
    return tuple(sentence for family in check.families() for sentence in family)


def check_main_work(problem: SeasonProblem, plan: SeasonPlan) -> tuple[str, ...]:
    """The same for main lifts that nothing follows yet: pins after them are not asked for."""
    return check_season(replace(problem, after_pins=()), plan)


def blank_words(slot: Slot, monday: date) -> str:
    """How a plan's note on a blank session begins; a blank that is not said is a violation."""
    return f"{slot.shown}, week of {monday}: no main lift"


class _Check:
    def __init__(self, problem: SeasonProblem, plan: SeasonPlan) -> None:
        self.problem, self.plan, self.rules = problem, plan, problem.rules
        self.settled = settled(problem.done, plan.work)
        self.by_slot: dict[Slot, list[SlotWork]] = defaultdict(list)
        for item in plan.work:
            if not item.is_easy:
                self.by_slot[item.slot].append(item)
        self.kinds = own_kinds(problem)

    def families(self) -> Iterator[Iterable[str]]:
        yield self.calendar()
        yield self.done_kept()
        yield self.cover()
        yield self.pins()
        for slot, work in self.by_slot.items():
            yield allowed_sentences(self.problem, self.fresh(work), self.kinds)
            if slot.is_dynamic:
                yield self.waves(slot, work)
                yield self.drift(slot, work)
            else:
                yield self.repeats(slot, work)
            if slot.is_max_effort:
                yield self.runs_in_a_row(slot, work)
        yield self.implement_days()
        yield load_sentences(self.problem, self.plan, self.kinds, self.settled)
        yield light_sentences(self.problem, self.plan, self.kinds)
        yield after_sentences(self.problem, self.plan, self.kinds)

    def fresh(self, work: Iterable[SlotWork]) -> list[SlotWork]:
        return [item for item in work if item not in self.settled]

    def has_fresh(self, work: Iterable[SlotWork]) -> bool:
        return any(item not in self.settled for item in work)

    def calendar(self) -> Iterator[str]:
        for item in self.fresh(self.plan.work):
            kind = self.kinds.get(item.monday)
            if kind is None:
                yield f"{work_words(item)} lies outside the season."
            elif kind not in ("normal", "taper") and not item.is_easy:
                yield f"{work_words(item)}: the {kind} week has no main work."
            elif item.is_taper != (kind == "taper"):
                yield f"{work_words(item)}: marked wrongly as taper or normal work."

    def done_kept(self) -> Iterator[str]:
        kept = set(self.plan.work)
        for item in self.problem.done:
            if item not in kept and not item.is_easy:
                yield f"{work_words(item)} was done and is missing from the plan."

    def cover(self) -> Iterator[str]:
        last = max((item.monday for item in self.problem.done), default=None)
        notes = self.plan.notes
        for day in self.problem.slot_days:
            if day.slot == Slot.IMPLEMENT:
                continue
            count = Counter(item.monday for item in self.by_slot[day.slot])
            for monday, kind in self.kinds.items():
                is_past = last is not None and (
                    monday < last or (monday == last and was_done(self.problem, day.slot, monday))
                )
                if kind not in ("normal", "taper") or is_past:
                    continue
                is_said = any(note.startswith(blank_words(day.slot, monday)) for note in notes)
                if count[monday] != 1 and not (count[monday] == 0 and is_said):
                    word = "no main lift" if not count[monday] else f"{count[monday]} main lifts"
                    yield f"{day.slot.shown}, week of {monday}: {word}."

    def pins(self) -> Iterator[str]:
        for pin in self.problem.pins:
            if not is_open(self.problem, pin.slot, pin.monday):
                continue
            here = [i for i in self.plan.on(pin.slot, pin.monday) if i.lift == pin.lift]
            if pin.resistance is not None:
                here = [item for item in here if item.resistance == pin.resistance]
            if pin.firmness == Firmness.RETEST and pin.slot.is_max_effort:
                here = [item for item in here if item.max_effort == MaxEffortScheme.SINGLE]
            if not here:
                name = self.problem.catalogue[pin.lift].name
                yield f"{name} is pinned to {pin.slot.shown}, week of {pin.monday}, but not there."

    def repeats(self, slot: Slot, work: Sequence[SlotWork]) -> Iterator[str]:
        gap = (
            self.rules.max_effort_gap_weeks
            if slot.is_max_effort
            else self.rules.implement_gap_weeks
        )
        by_lift: dict[LiftKey, list[SlotWork]] = defaultdict(list)
        for item in work if gap else ():
            by_lift[item.lift].append(item)
        for lift, items in by_lift.items():
            for monday in self.kinds:
                window = [i for i in items if monday <= i.monday < monday + gap * WEEK]
                if self.has_fresh(window) and self._comes_too_often(slot, monday, gap, window):
                    name = self.problem.catalogue[lift].name
                    weeks = ", ".join(str(i.monday) for i in window)
                    yield f"{slot.shown}: {name} comes back too soon ({weeks})."

    def _comes_too_often(
        self, slot: Slot, monday: date, gap: int, window: Sequence[SlotWork]
    ) -> bool:
        tests = self._tests(slot, window[0].lift, monday, gap)
        near = [item for item in window if self._is_near(item)]
        if not self._has_near_week(slot, window[0].lift, monday, gap):
            return len(window) > max(1, tests)
        if 2 * (len(window) - len(near)) + len(near) > max(2, 2 * tests):
            return True
        close = self.rules.near_gap_weeks * WEEK
        return sum(item.monday < monday + close for item in window) > max(1, tests)

    def _tests(self, slot: Slot, lift: LiftKey, monday: date, gap: int) -> int:
        return sum(
            (pin.slot, pin.lift, pin.firmness) == (slot, lift, Firmness.RETEST)
            and monday <= pin.monday < monday + gap * WEEK
            for pin in self.problem.pins
        )

    def _has_near_week(self, slot: Slot, lift: LiftKey, monday: date, gap: int) -> bool:
        days = (monday + k * WEEK for k in range(gap))
        return any(
            self._is_near(SlotWork(slot, day, lift))
            for day in days
            if self.kinds.get(day) in ("normal", "taper")
        )

    def _is_near(self, item: SlotWork) -> bool:
        lift = self.problem.catalogue[item.lift]
        for contest in self.problem.contests:
            left = (monday_of(contest.on) - item.monday) // WEEK
            if not 0 < left <= self.rules.coverage_weeks:
                continue
            if item.slot.is_max_effort and not contest.squad_taper:
                continue
            for event in contest.events:
                wishes = {
                    "implement": (event.implement, lift.implement),
                    "grip": (event.grip or None, lift.grip),
                }
                met = [have == want for want, have in wishes.values() if want is not None]
                if event.start_height is not None:
                    height = lift.start_height
                    met.append(
                        height is not None
                        and abs(height.in_mm - event.start_height.in_mm) <= 20 + SLACK
                    )
                likeness = sum(met) / len(met) if met else 0.5
                transfer = lift.transfer.get(event.family, 0.0)
                least = self.rules.specific_transfer
                if met and all(met):
                    least = self.rules.specific_same_transfer
                if transfer >= least and likeness >= self.rules.specific_likeness:
                    return True
        return False

    def runs_in_a_row(self, slot: Slot, work: Sequence[SlotWork]) -> Iterator[str]:
        most = self.rules.in_a_row_most
        at = {item.monday: item for item in work}
        for monday in at:
            window = [at.get(monday + k * WEEK) for k in range(most + 1)]
            items = [item for item in window if item is not None]
            if len(items) <= most or not self.has_fresh(items):
                continue
            if len({self.problem.catalogue[item.lift].pattern for item in items}) == 1:
                yield f"{slot.shown}: the same movement {most + 1} weeks in a row from {monday}."
            if len({item.max_effort for item in items}) == 1:
                yield f"{slot.shown}: the same scheme {most + 1} weeks in a row from {monday}."

    def waves(self, slot: Slot, work: Sequence[SlotWork]) -> Iterator[str]:
        waves = split_waves(work)
        for wave in waves:
            first = wave[0]
            whole = [item.wave_week for item in wave] == list(range(1, len(wave) + 1))
            if self.has_fresh(wave) and not (
                whole and len(wave) == first.wave_weeks and len(wave) <= WAVE
            ):
                if wave[0] in self.settled:
                    continue  # a wave begun earlier may have been cut by a moved contest
                yield f"{work_words(first)}: its wave is not whole."
        fresh_short = [w for w in waves if len(w) < WAVE and w[0] not in self.settled]
        runs = Counter(self._run_of(wave[0].monday) for wave in fresh_short)
        filled = {item.monday for item in work}
        most = 1 if self.problem.previous is None else 2  # a moved contest may need a second
        for run, count in runs.items():
            # Beside a blank session the waves start anew, and may need a second short one.
            if count > most and self._is_filled(run, filled):
                yield f"{slot.shown}: {count} short waves in the run from {run}."
        yield from self._wave_changes(waves)
        yield from self._bands(waves)

    def _run_of(self, monday: date) -> date:
        while self.kinds.get(monday - WEEK) in ("normal", "taper"):
            monday -= WEEK
        return monday

    def _is_filled(self, run: date, filled: set[date]) -> bool:
        while self.kinds.get(run) in ("normal", "taper"):
            if run not in filled:
                return False
            run += WEEK
        return True

    def _wave_changes(self, waves: Sequence[Sequence[SlotWork]]) -> Iterator[str]:
        rules = self.rules
        for k, wave in enumerate(waves):
            first = wave[0]
            later = [w[0] for w in waves[k + 1 :] if w[0].lift == first.lift]
            same = [
                item
                for item in later
                if item.resistance == first.resistance
                and item.monday < first.monday + rules.wave_gap_weeks * WEEK
            ]
            base = [i for i in later if i.monday < first.monday + rules.base_gap_weeks * WEEK]
            if same and self.has_fresh([first, *same]):
                yield f"{work_words(first)}: the same wave comes again on {same[0].monday}."
            if len(base) + 1 > rules.base_gap_most and self.has_fresh([first, *base]):
                yield f"{work_words(first)}: its lift takes {len(base) + 1} waves close together."

    def _bands(self, waves: Sequence[Sequence[SlotWork]]) -> Iterator[str]:
        most = self.rules.banded_waves_in_a_row
        if not most:
            return
        weeks: list[SlotWork] = []
        for item in (item for wave in waves for item in wave):
            follows = bool(weeks) and item.monday == weeks[-1].monday + WEEK
            weeks = [*weeks, item] if follows else [item]
            if item.resistance != Resistance.BANDS:
                weeks = []
            window = weeks[-(WAVE * most + 1) :]
            if len(window) > WAVE * most and self.has_fresh(window):
                yield f"{work_words(item)}: more than {most} wave(s) with bands in a row."

    def drift(self, slot: Slot, work: Sequence[SlotWork]) -> Iterator[str]:
        at = {item.monday: item for item in work}
        for monday, item in at.items():
            after = at.get(monday + WEEK)
            if after is None or item in self.settled or after in self.settled:
                continue
            rise = after.scheme_step - item.scheme_step
            low, high = (0, 1) if self._asks_reps(slot, monday) else (-1, 0)
            if not low <= rise <= high:
                yield f"{work_words(after)}: its scheme jumps against the drift."

    def _asks_reps(self, slot: Slot, monday: date) -> bool:
        mains = [c for c in self.problem.contests if c.squad_taper and c.on >= monday]
        if not mains:
            return False
        first = min(mains, key=lambda contest: (contest.on, contest.id))
        wanted = ("deadlift_reps", "squat") if slot.is_lower else ("press_reps",)
        return any(e.style == EventStyle.REPS and e.family in wanted for e in first.events)

    def implement_days(self) -> Iterator[str]:
        by_week: dict[date, list[SlotWork]] = defaultdict(list)
        for item in self.by_slot[Slot.IMPLEMENT]:
            by_week[item.monday].append(item)
        for monday, items in by_week.items():
            if self.has_fresh(items):
                yield from self._implement_day(monday, items)

    def _implement_day(self, monday: date, items: Sequence[SlotWork]) -> Iterator[str]:
        rules = self.rules
        is_taper = self.kinds.get(monday) == "taper"
        most = rules.stations_most_taper if is_taper else rules.stations_most
        if len(items) > most:
            yield f"Implement day, week of {monday}: {len(items)} stations, at most {most}."
        if len({item.lift for item in items}) < len(items):
            yield f"Implement day, week of {monday}: a lift stands there twice."
        lifts = [self.problem.catalogue[item.lift] for item in items]
        minutes = sum(lift.setup_min + rules.station_work_min for lift in lifts)
        day = next(d for d in self.problem.slot_days if d.slot == Slot.IMPLEMENT)
        if minutes > (day.minutes or rules.implement_minutes) + SLACK:
            yield f"Implement day, week of {monday}: {minutes:g} min do not fit {day.minutes}."
        different = {lift.key: lift for lift in lifts}.values()
        for kit, users in Counter(kit for lift in different for kit in set(lift.kit)).items():
            if users > 1 and self.problem.units.get(kit, 0) <= rules.scarce_units:
                yield f"Implement day, week of {monday}: {users} stations share scarce {kit}."
