"""An athlete's own lift where the class's lift is not for them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey
from heftwright.domain.contest import Contest
from heftwright.domain.season.work import SlotWork
from heftwright.domain.squad import Athlete
from heftwright.domain.stock import Stock

SAME_IMPLEMENT_BONUS = 1.25
WEAK_POINT_SHARE = 0.3
"""Weight of weak points beside the athlete's events (common practice, editable)."""


def substitute(
    athlete: Athlete,
    work: SlotWork,
    *,
    catalogue: Catalogue,
    contests: Sequence[Contest],
    stock: Stock,
    day: date,
) -> LiftKey | None:
    """The best allowed lift of the same slot for this athlete's own events and weak points.

    Parameters
    ----------
    athlete : Athlete
        With restrictions, weak points and, through ``contests``, entries.
    work : SlotWork
        What the class does.
    catalogue : Catalogue
        The lifts.
    contests : sequence of Contest
        Those on or after ``day`` count, by importance.
    stock : Stock
        A lift whose kit the gym does not own is left out.
    day : date
        For restrictions.

    Returns
    -------
    LiftKey or None
        None where every lift of the slot is off.
    """
    units = stock.kit_units()
    allowed = [
        lift
        for lift in catalogue.for_slot(work.slot)
        if lift.key != work.lift
        and athlete.may_do(lift, day)
        and all(units.get(kit, 0) > 0 for kit in lift.kit)
        and work.max_effort not in lift.never_as
    ]
    planned = catalogue[work.lift]
    best = max(
        allowed,
        key=lambda lift: (
            worth_to(athlete, lift, contests, day),
            lift.pattern == planned.pattern,
            lift.key,
        ),
        default=None,
    )
    return None if best is None else best.key


def worth_to(athlete: Athlete, lift: Lift, contests: Sequence[Contest], day: date) -> float:
    """What a lift is worth to one athlete: transfer to own events ahead, and weak points, ≥ 0."""
    events = sum(
        contest.importance
        * entry.need.get(event.name, 1.0)
        * lift.transfer.get(event.family, 0.0)
        * (SAME_IMPLEMENT_BONUS if event.implement == lift.implement else 1.0)
        for contest in contests
        if contest.on >= day
        for entry in contest.entries
        if entry.athlete == athlete.id
        for event in contest.events
    )
    weak = sum(
        weight * lift.weak_points.get(point, 0.0) for point, weight in athlete.weak_points.items()
    )
    return events + WEAK_POINT_SHARE * weak
