"""The checker's part on light sessions and on what follows the main lifts, apart from the chooser.

Budgets are added up with the main work in check_loads; here: place, kit, minutes, dates, repeats.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from heftwright.domain.catalogue import Lift, MaxEffortScheme, Resistance, Slot
from heftwright.domain.contest import ContestEvent
from heftwright.domain.season.after_work import AfterKind, AfterWork
from heftwright.domain.season.check_calendar import WEEK, is_open
from heftwright.domain.season.plan import SeasonPlan
from heftwright.domain.season.problem import SeasonProblem
from heftwright.domain.season.work import SlotWork

PRESSES = ("overhead", "bench")


def light_sentences(
    problem: SeasonProblem, plan: SeasonPlan, kinds: Mapping[date, str]
) -> Iterator[str]:
    """Light sessions stand only where there is no main work, straight, and never as a single."""
    for item in plan.work:
        if not item.is_easy or not is_open(problem, item.slot, item.monday):
            continue
        name = f"Light {item.lift.replace('_', ' ')}, {item.slot.shown}, week of {item.monday}"
        if kinds.get(item.monday) not in ("contest", "easy"):
            yield f"{name}: that is a week of main work."
        if item.resistance != Resistance.STRAIGHT or item.is_taper:
            yield f"{name}: light work is straight weight, and no taper."
        if item.slot.is_max_effort and item.max_effort != MaxEffortScheme.TRIPLE:
            yield f"{name}: light work is no single and no rep max."
        if item.slot not in problem.catalogue[item.lift].slots:
            yield f"{name}: the lift has no such form in this slot."


def after_sentences(
    problem: SeasonProblem, plan: SeasonPlan, kinds: Mapping[date, str]
) -> Iterator[str]:
    """Sentences against blocks after the main lifts."""
    fresh = [item for item in plan.after if is_open(problem, item.slot, item.monday)]
    for item in fresh:
        lift = problem.catalogue[item.lift]
        name = f"{lift.name} after {item.slot.shown.lower()}, week of {item.monday}"
        for reason in _reasons(problem, plan, item, lift, kinds):
            yield f"{name}: {reason}."
    yield from _pins(problem, plan)
    a_week = Counter(item.monday for item in plan.after)
    for monday in {item.monday for item in fresh}:
        if a_week[monday] > problem.rules.after_most_a_week:
            yield f"Week of {monday}: {a_week[monday]} blocks after main lifts."
    days = Counter((item.slot, item.monday) for item in plan.after)
    for (slot, monday), count in days.items():
        if count > 1:
            yield f"{slot.shown}, week of {monday}: {count} blocks after one main lift."
    yield from _repeats(problem, plan.after, fresh)


def _pins(problem: SeasonProblem, plan: SeasonPlan) -> Iterator[str]:
    for pin in problem.after_pins:
        main = [work for work in plan.on(pin.slot, pin.monday) if not work.is_easy]
        if not main or not is_open(problem, pin.slot, pin.monday):
            continue
        there = [block.lift for block in plan.after_on(pin.slot, pin.monday)]
        if there != ([] if pin.lift is None else [pin.lift]):
            wanted = "nothing" if pin.lift is None else problem.catalogue[pin.lift].name
            yield (
                f"{wanted.capitalize()} is pinned after {pin.slot.shown.lower()}, week of "
                f"{pin.monday}, but not so in the plan."
            )


def _reasons(
    problem: SeasonProblem, plan: SeasonPlan, item: AfterWork, lift: Lift,
    kinds: Mapping[date, str],
) -> Iterator[str]:  # fmt: skip
    main = [work for work in plan.on(item.slot, item.monday) if not work.is_easy]
    if not main or kinds.get(item.monday) not in ("normal", "taper"):
        yield "no main lift comes before it"
        return
    if item.is_taper != (kinds.get(item.monday) == "taper"):
        yield "marked wrongly as taper or normal work"
    if any(work.lift == item.lift for work in main):
        yield "it is the main lift itself"
    if not _belongs(problem, item, lift):
        yield f"it is no {item.kind.shown} of that day"
    for ban in problem.forbids:
        is_about_it = ban.lift == item.lift and ban.slot in (None, item.slot)
        if is_about_it and ban.from_monday <= item.monday <= ban.to_monday:
            yield "it is forbidden then"
    yield from _room(problem, item, lift, main)


def _belongs(problem: SeasonProblem, item: AfterWork, lift: Lift) -> bool:
    is_implement = "implement" in lift.slots
    has_day = any(day.slot == Slot.IMPLEMENT for day in problem.slot_days)
    on_right_day = item.slot.is_lower != (lift.pattern in PRESSES)
    if item.kind == AfterKind.EVENT_PRACTICE:
        return on_right_day and is_implement and not has_day
    squats = lift.pattern == "squat" and "box" in lift.kit
    second = squats or lift.is_second_lift or (is_implement and has_day)
    return on_right_day and item.slot.is_lower and second


def _room(
    problem: SeasonProblem, item: AfterWork, lift: Lift, main: Sequence[SlotWork]
) -> Iterator[str]:
    rules = problem.rules
    day = next(day for day in problem.slot_days if day.slot == item.slot)
    minutes = rules.main_work_min + lift.setup_min + rules.after_min
    minutes += max(_setup_min(problem, work) for work in main)
    if minutes > day.minutes:
        yield f"{minutes:g} min do not fit the class's {day.minutes} min"
    per_unit = problem.catalogue.athletes_per_unit
    served = min((problem.units.get(kit, 0) * per_unit[kit] for kit in lift.kit), default=10_000)
    if served < rules.after_share * min(day.class_size, _need_it(problem, item, lift)):
        yield "the kit does not serve those who need it in turns"
    last = item.monday + timedelta(days=day.last_weekday)
    for contest in problem.contests:
        if contest.squad_taper and 0 <= (contest.on - last).days < lift.last_heavy_days:
            yield f"{(contest.on - last).days} days before {contest.name} is too late for it"


def _setup_min(problem: SeasonProblem, work: SlotWork) -> float:
    lift = problem.catalogue[work.lift]
    for form in lift.dynamic:
        if work.slot.is_dynamic and form.resistance == work.resistance:
            return form.setup_min
    return lift.setup_min


def _need_it(problem: SeasonProblem, item: AfterWork, lift: Lift) -> int:
    squad = {athlete.id for athlete in problem.athletes}
    need: set[str] = set()
    for contest in problem.contests:
        asks = any(
            lift.transfer.get(event.family, 0.0) >= problem.rules.specific_transfer
            and (event.implement is None or event.implement == lift.implement)
            for event in contest.events
        )
        if asks and contest.on > item.monday:
            need |= {entry.athlete for entry in contest.entries if entry.athlete in squad}
    return len(need) or 10_000


def _repeats(
    problem: SeasonProblem, after: Sequence[AfterWork], fresh: Sequence[AfterWork]
) -> Iterator[str]:
    rules = problem.rules
    for one in fresh:
        for other in after:
            weeks = abs((other.monday - one.monday) // WEEK)
            if other is one or other.lift != one.lift:
                continue
            near = _is_near(problem, one) and _is_near(problem, other)
            least = rules.near_gap_weeks if near else rules.after_gap_weeks
            if weeks < least:
                name = problem.catalogue[one.lift].name
                yield f"{name} after main lifts comes again within {least} weeks of {one.monday}."


def _is_near(problem: SeasonProblem, item: AfterWork) -> bool:
    """Whether it is the own work of a squad contest's event in that contest's last weeks."""
    lift, rules = problem.catalogue[item.lift], problem.rules
    for contest in problem.contests:
        left = (contest.on - timedelta(days=contest.on.weekday()) - item.monday) // WEEK
        if not contest.squad_taper or not 0 < left <= rules.coverage_weeks:
            continue
        for event in contest.events:
            alike = _share_alike(lift, event)
            least = rules.specific_same_transfer if alike == 1 else rules.specific_transfer
            if lift.transfer.get(event.family, 0.0) < least:
                continue
            if alike >= rules.specific_likeness:
                return True
    return False


def _share_alike(lift: Lift, event: ContestEvent) -> float:
    met = []
    if event.implement is not None:
        met.append(lift.implement == event.implement)
    if event.grip:
        met.append(lift.grip == event.grip)
    if event.start_height is not None:
        start = lift.start_height
        met.append(start is not None and abs(start.in_mm - event.start_height.in_mm) <= 20 + 1e-6)
    return sum(met) / len(met) if met else 0.5
