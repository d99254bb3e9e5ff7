"""The checker's part on single choices: slot, forms, bans, dates, set-up, kit, minutes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from heftwright.domain.catalogue import KitKey, Lift, MaxEffortScheme, Pattern, Resistance, Slot
from heftwright.domain.contest import Contest, EventStyle
from heftwright.domain.season.problem import SeasonProblem, SlotDay
from heftwright.domain.season.work import SlotWork

WEEK = timedelta(days=7)
_Kit = tuple[KitKey, ...]


def allowed_sentences(
    problem: SeasonProblem, work: Sequence[SlotWork], kinds: Mapping[date, str]
) -> Iterator[str]:
    """Sentences against single choices."""
    for item in work:
        if item.is_easy:
            continue
        lift = problem.catalogue[item.lift]
        name = f"{lift.name}, {item.slot.shown}, week of {item.monday}"
        for reason in _reasons(problem, item, lift, kinds):
            yield f"{name}: {reason}."


def _reasons(
    problem: SeasonProblem, item: SlotWork, lift: Lift, kinds: Mapping[date, str]
) -> Iterator[str]:
    kit, setup_min = _form(item, lift)
    if kit is None or item.slot not in lift.slots:
        yield "the lift has no such form in this slot"
        return
    for ban in problem.forbids:
        is_about_it = ban.place.is_main and ban.lift == item.lift and ban.slot in (None, item.slot)
        if is_about_it and ban.from_monday <= item.monday <= ban.to_monday:
            yield "it is forbidden then"
    yield from _date_reasons(problem, item, lift, setup_min)
    yield from _scheme_reasons(problem, item, lift, kinds)
    slot_day = next(day for day in problem.slot_days if day.slot == item.slot)
    if not _class_can(problem, slot_day, lift, item.resistance, kit):
        yield "the kit does not serve the class"
    rules = problem.rules
    work_min = rules.station_work_min if item.slot == Slot.IMPLEMENT else rules.main_work_min
    if rules.main_work_min and setup_min + work_min > slot_day.minutes:
        yield "set-up and work do not fit the class time"


def _form(item: SlotWork, lift: Lift) -> tuple[_Kit | None, float]:
    if not item.slot.is_dynamic:
        return lift.kit, lift.setup_min
    forms = [f for f in lift.dynamic if f.resistance == item.resistance and f.slot == item.slot]
    return (forms[0].kit, forms[0].setup_min) if forms else (None, 0.0)


def _next_main(problem: SeasonProblem, monday: date) -> Contest | None:
    mains = [c for c in problem.contests if c.squad_taper and c.on >= monday]
    return min(mains, key=lambda contest: (contest.on, contest.id), default=None)


def _date_reasons(
    problem: SeasonProblem, item: SlotWork, lift: Lift, setup_min: float
) -> Iterator[str]:
    main = _next_main(problem, item.monday)
    last_day = next(d.last_weekday for d in problem.slot_days if d.slot == item.slot)
    if main is not None and not item.slot.is_dynamic:
        days = (main.on - item.monday).days - last_day
        if days < lift.last_heavy_days:
            yield f"{days} days before {main.name} is too late for it to be heavy"
    if setup_min >= problem.rules.setup_limit_min:
        first = item.monday - (item.wave_week - 1) * WEEK
        main_monday = None if main is None else main.on - timedelta(days=main.on.weekday())
        window = problem.rules.setup_window_weeks * WEEK
        if main_monday is None or main_monday - first > window:
            yield "its long set-up is kept for the weeks before a squad contest"


def _scheme_reasons(
    problem: SeasonProblem, item: SlotWork, lift: Lift, kinds: Mapping[date, str]
) -> Iterator[str]:
    if item.slot.is_max_effort:
        if item.max_effort is None:
            yield "a max-effort day must say what it builds up to"
        elif item.max_effort in lift.never_as:
            yield f"it is never done as a {item.max_effort.replace('_', ' ')}"
        elif item.max_effort == MaxEffortScheme.REP_MAX and kinds.get(item.monday) == "taper":
            yield "no rep max in a taper week"
    elif item.slot.is_dynamic:
        end = item.monday + (item.wave_weeks - item.wave_week) * WEEK
        if not _step_fits(problem, item, end):
            yield "its scheme is too far from a reps event"


def _step_fits(problem: SeasonProblem, item: SlotWork, end: date) -> bool:
    main = _next_main(problem, end)
    wanted = ("deadlift_reps", "squat") if item.slot.is_lower else ("press_reps",)
    if main is None or not any(
        event.style == EventStyle.REPS and event.family in wanted for event in main.events
    ):
        return item.scheme_step <= 1
    left = (main.on - timedelta(days=main.on.weekday()) - end) // WEEK
    return left <= problem.rules.reps_step_weeks[item.scheme_step]


def _class_can(
    problem: SeasonProblem, day: SlotDay, lift: Lift, resistance: Resistance, kit: _Kit
) -> bool:
    served = _served(problem, kit)
    if served >= day.class_size:
        return True
    if served < problem.rules.split_share * day.class_size:
        return False
    for other in problem.catalogue.for_slot(day.slot):
        if not _are_kin(lift, other):
            continue
        for other_kit in _kits(other, day.slot, None if other != lift else resistance):
            if _serves_others(problem, day, kit, other_kit, day.class_size - served):
                return True
    return False


def _are_kin(one: Lift, two: Lift) -> bool:
    carrying = {Pattern.CARRY, Pattern.HOLD}
    return one.pattern == two.pattern or {one.pattern, two.pattern} <= carrying


def _kits(lift: Lift, slot: Slot, but: Resistance | None) -> list[_Kit]:
    if not slot.is_dynamic:
        return [] if but is not None else [lift.kit]
    return [f.kit for f in lift.dynamic if f.slot == slot and f.resistance != but]


def _served(problem: SeasonProblem, kit: _Kit) -> int:
    per_unit = problem.catalogue.athletes_per_unit
    return min((problem.units.get(key, 0) * per_unit[key] for key in kit), default=10_000)


def _serves_others(
    problem: SeasonProblem, day: SlotDay, kit: _Kit, other_kit: _Kit, rest: int
) -> bool:
    return all(
        _served(problem, (key,)) >= (day.class_size if key in kit else rest) for key in other_kit
    )
