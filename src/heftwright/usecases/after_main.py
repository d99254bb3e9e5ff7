"""What a class does after its main lift: the season's second lift or event, then the circuit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date

from heftwright.domain.catalogue import KitKey, Lift, Slot
from heftwright.domain.dose.rep_work import CircuitError, CircuitWish, build_circuit
from heftwright.domain.prescription.event_loads import at_once
from heftwright.domain.prescription.event_practice import station_line
from heftwright.domain.season import SlotWork
from heftwright.domain.season.after_work import AfterKind, AfterWork
from heftwright.domain.season.emphasis import emphasis_on
from heftwright.domain.squad import Athlete
from heftwright.usecases.class_order import ClassOrder
from heftwright.usecases.floor_solving import circuit_min
from heftwright.usecases.gathering import Gathered

SECOND_SCHEME = "4 sets of 3–5, a load that moves well, two or three left in hand"
SECOND_TAPER = "2 sets of 3, a load that moves well"
NAMED = 8


def after_main_lines(order: ClassOrder, gathered: Gathered) -> tuple[str, ...]:
    """What follows the main lift, a line each; empty when nobody is there."""
    if not order.present:
        return ()
    lines = [_after_line(work, order, gathered) for work in order.after]
    return (*lines, *_circuit_lines(order, gathered))


def _after_line(work: AfterWork, order: ClassOrder, gathered: Gathered) -> str:
    lift = gathered.catalogue[work.lift]
    people = [gathered.athletes[key] for key in order.present]
    entrants = [a for a in people if _needs(a, lift, gathered, order.on)]
    barred = [a for a in people if not _may(a, lift, gathered, order.on)]
    doing = [a for a in entrants or people if a not in barred]
    if work.kind is AfterKind.SECOND_LIFT:
        line = f"Second lift, {lift.name}: {SECOND_TAPER if work.is_taper else SECOND_SCHEME}."
    else:
        step = work.scheme_step
        order_words = SlotWork(
            Slot.IMPLEMENT, work.monday, work.lift, scheme_step=step, is_taper=work.is_taper
        )
        shown = station_line(order_words, lift, gathered.contests, gathered.stock)
        line = f"Event practice, {shown}"
    parts = [line, _turns(doing, people, lift, gathered)]
    if barred:
        parts.append(f"Not for {_names(barred)}: rep work instead.")
    return " ".join(part for part in parts if part)


def _needs(athlete: Athlete, lift: Lift, gathered: Gathered, day: date) -> bool:
    return any(
        contest.on > day
        and contest.enters(athlete.id)
        and any(
            event.implement in (None, lift.implement)
            and lift.transfer.get(event.family, 0.0) >= 0.75
            for event in contest.events
        )
        for contest in gathered.contests
    )


def _may(athlete: Athlete, lift: Lift, gathered: Gathered, day: date) -> bool:
    """Not barred, and not inside the lift's last days before a contest of the athlete's own."""
    too_late = any(
        contest.enters(athlete.id) and 0 <= (contest.on - day).days < lift.last_heavy_days
        for contest in gathered.contests
    )
    return athlete.may_do(lift, day) and not too_late


def _turns(
    doing: Sequence[Athlete], people: Sequence[Athlete], lift: Lift, gathered: Gathered
) -> str:
    """Who goes, and how many at once; the others are at the circuit meanwhile."""
    if not doing:
        return "Nobody here may do it today."
    room = _room(lift, gathered, len(doing))
    who = f"For {_names(doing)}" if len(doing) < len(people) else "For everybody"
    if room >= len(doing) == len(people):
        return ""
    if room >= len(doing):
        return f"{who}; the others start with the circuit."
    return f"{who}, {room} at a time; the others are at the circuit."


def _room(lift: Lift, gathered: Gathered, everybody: int) -> int:
    """A group shares a yoke or a bar; a bag or a stone is one athlete's at a time."""
    alone = at_once(lift.implement, gathered.stock)
    if alone is not None:
        return alone
    units, per_unit = gathered.stock.kit_units(), gathered.catalogue.athletes_per_unit
    return min((units.get(kit, 0) * per_unit[kit] for kit in lift.kit), default=everybody)


def _names(people: Sequence[Athlete]) -> str:
    names = [athlete.name for athlete in people[:NAMED]]
    more = len(people) - len(names)
    return ", ".join(names) + (f" and {more} more" if more else "")


def _circuit_lines(order: ClassOrder, gathered: Gathered) -> tuple[str, ...]:
    """The circuit, a line a station, towards the weak points and the events of those present."""
    people = tuple(gathered.athletes[key] for key in order.present)
    emphasis = emphasis_on(people, gathered.contests, order.on)
    busy: Counter[KitKey] = Counter()
    for work in order.after:
        lift = gathered.catalogue[work.lift]
        busy.update({kit: gathered.stock.kit_units().get(kit, 0) for kit in lift.kit})
    units = gathered.stock.kit_units()
    wish = CircuitWish(
        lifters=len(people),
        minutes=circuit_min(order.class_time.minutes),
        weak_points=emphasis.weights,
        stock={kit: max(0, count - busy[kit]) for kit, count in units.items()},
    )
    try:
        lines = build_circuit(wish).words
    except CircuitError as error:
        return (str(error),)
    return (emphasis.words, *lines) if emphasis.words else lines
