"""Event practice on the implement day: loads taken from the contest ahead."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from heftwright.domain.catalogue import Lift, Pattern
from heftwright.domain.contest import Contest, ContestEvent
from heftwright.domain.prescription.event_loads import practice_words
from heftwright.domain.season import SlotWork
from heftwright.domain.stock import Stock

HEAVY_RATIO, SPEED_RATIO = 0.90, 0.75
"""Of the contest's load: heavy and short, or lighter and fast (common practice, no source)."""
SCHEMES = {
    Pattern.CARRY: ("3 runs of half the course", "4 runs of the whole course"),
    Pattern.LOAD: ("4 × 1", "3 sets of as many as the clock gives"),
    Pattern.HOLD: ("3 holds of half the time", "3 holds to the contest's time"),
}
OTHER_SCHEMES = ("5 × 1", "3 sets on the clock")
TAPER = "half the runs and sets, then stop"


def station_line(work: SlotWork, lift: Lift, contests: Sequence[Contest], stock: Stock) -> str:
    """One station in words: lift, scheme, loads for men and women, and what they come from.

    Parameters
    ----------
    work : SlotWork
        The season's order; ``scheme_step`` 0 heavy, 1 reps or speed.
    lift : Lift
        Which.
    contests : sequence of Contest
        For the event ahead.
    stock : Stock
        An implement that was never weighed cannot be prescribed; a bag cannot be loaded.
    """
    unweighed = [
        unit.name
        for unit in stock.implements
        if unit.implement == lift.implement and unit.mass is None
    ]
    if unweighed:
        return f"{lift.name}: weigh {', '.join(unweighed)} first; no load is given until then."
    scheme = SCHEMES.get(lift.pattern, OTHER_SCHEMES)[min(work.scheme_step, 1)]
    easing = f" ({TAPER})" if work.is_taper or work.is_easy else ""
    ahead = event_ahead(lift, contests, work.monday)
    if ahead is None:
        return f"{lift.name}: {scheme}{easing}, a load that moves well; no contest asks for it yet."
    contest, event = ahead
    ratio = SPEED_RATIO if work.scheme_step else HEAVY_RATIO
    return (
        f"{lift.name}: {scheme}{easing}, {_loads(lift, event, ratio, stock)} "
        f"({ratio:.0%} of “{event.name}”, {contest.name})."
    )


def event_ahead(
    lift: Lift, contests: Sequence[Contest], day: date
) -> tuple[Contest, ContestEvent] | None:
    """The next contest's event that this lift is practice for, the same implement first."""
    found = [
        (contest, event)
        for contest in sorted(contests, key=lambda c: c.on)
        if contest.on >= day
        for event in contest.events
        if lift.transfer.get(event.family, 0.0) >= 0.75
    ]
    same = [pair for pair in found if pair[1].implement == lift.implement]
    return next(iter(same or found), None)


def _loads(lift: Lift, event: ContestEvent, ratio: float, stock: Stock) -> str:
    loads = [
        f"{who} {practice_words(lift.implement, load, ratio, stock)}"
        for who, load in (("men", event.load_men), ("women", event.load_women))
        if load is not None
    ]
    return ", ".join(loads) if loads else "the load is not announced: one that moves well"
