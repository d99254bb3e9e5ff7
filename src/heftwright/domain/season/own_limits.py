"""What limits one athlete beside restrictions and contests: age, a lay-off, the day they joined."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Lift, MaxEffortScheme
from heftwright.domain.dose.returns import LAY_OFF_NO_MAX_WEEKS, LAY_OFF_VOLUME, return_of
from heftwright.domain.season.work import SlotWork
from heftwright.domain.squad import Athlete


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """A limit of one day.

    Parameters
    ----------
    volume_ratio : float
        Sets of the class's work to do, 0–1; 0: not there.
    has_max : bool
        Whether max-effort work is open.
    top : MaxEffortScheme or None
        What the day builds up to in place of the class's; None: the class's.
    why : str
        In a sentence.
    """

    volume_ratio: float
    has_max: bool
    top: MaxEffortScheme | None
    why: str


def limits_on(athlete: Athlete, work: SlotWork, lift: Lift, day: date) -> tuple[OwnLimit, ...]:
    """What limits an athlete on a day.

    Returns after a lay-off follow CSCCa–NSCA 2019 (``dose.returns``); under 18 nobody does maximal
    singles (the house's rule; local codes and the guardian's word come first).
    """
    there = _not_there(athlete, day)
    if there:
        return (OwnLimit(0.0, has_max=False, top=None, why=there),)
    found = []
    back = return_of(athlete, lift, day)
    if back is not None:
        no_max = work.max_effort is not None and back.week <= LAY_OFF_NO_MAX_WEEKS
        ratio = LAY_OFF_VOLUME[back.week - 1]
        what = "no max-effort work yet, rep work" if no_max else f"{100 * ratio:.0f} % of the sets"
        why = f"Week {back.week} back after {back.words}: {what}."
        found.append(OwnLimit(ratio, has_max=not no_max, top=_no_single(work), why=why))
    if athlete.is_minor_on(day) and _no_single(work) is not None:
        why = "Under 18: no heavy single; up to a triple well short of it."
        if athlete.born_on is None:
            why = "No birth date, so as under 18: no heavy single; up to a triple well short of it."
        found.append(OwnLimit(1.0, has_max=True, top=_no_single(work), why=why))
    return tuple(found)


def _no_single(work: SlotWork) -> MaxEffortScheme | None:
    is_single = work.max_effort is MaxEffortScheme.SINGLE
    return MaxEffortScheme.TRIPLE if is_single else None


def _not_there(athlete: Athlete, day: date) -> str:
    if athlete.joined_on is not None and day < athlete.joined_on:
        return f"{athlete.name} joins on {athlete.joined_on:%-d %B}."
    since, back = athlete.away_since, athlete.back_on
    if since is None or day <= since or (back is not None and day >= back):
        return ""
    until = f"until {back:%-d %B}" if back is not None else "and no day back is known"
    return f"{athlete.name} is away {until}."
