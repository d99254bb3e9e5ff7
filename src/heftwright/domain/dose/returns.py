"""Coming back: after a lay-off of the athlete, or after lifts that were off have been cleared.

Fourteen days off and more start a ramp that the coach chooses (CSCCa–NSCA 2019: the first 2–4 weeks
are limited). A lift that was off so long is as new to the body as after a lay-off, whatever else
was trained meanwhile.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import Lift
from heftwright.domain.squad import Athlete

LAY_OFF_DAYS = 14
LAY_OFF_VOLUME = (0.50, 0.70, 0.80, 0.90)
"""Share of usual volume in weeks 1–4 back: the 50/30/20/10 rule, CSCCa–NSCA 2019 (memory)."""
LAY_OFF_NO_MAX_WEEKS = len(LAY_OFF_VOLUME)
"""No work-up while the ramp runs: CSCCa–NSCA 2019 limits the first 2–4 weeks; ours, the whole 4."""
MOST_RISE_RATIO = 0.15
"""Most that a max-effort day climbs a week once the ramp is over, of the max: common practice."""
LAST_SETTLING_WEEK = 10
"""From the lightest ramp that a coach can enter, 20 % of the max, the climb is over by then."""


@dataclass(frozen=True, slots=True)
class Return:
    """Coming back to a lift.

    Parameters
    ----------
    week : int
        Which week back, from 1; the ramp is weeks 1–4.
    days_off : int
        How long it was off [d], ≥ 14.
    back_on : date
        The first day back.
    what : str
        What was off; empty for the whole athlete.
    """

    week: int
    days_off: int
    back_on: date
    what: str = ""

    @property
    def words(self) -> str:
        """``"21 days off"`` or ``"21 days without overhead work"``."""
        return f"{self.days_off} days " + (f"without {self.what} work" if self.what else "off")


def days_off(athlete: Athlete) -> int | None:
    """Days between the last day trained and the first day back; None without a lay-off."""
    if athlete.away_since is None or athlete.back_on is None:
        return None
    return (athlete.back_on - athlete.away_since).days


def week_back(athlete: Athlete, today: date) -> int | None:
    """Which week back after a lay-off of 14 days and more: 1–4; None if none or over."""
    off = days_off(athlete)
    if off is None or athlete.back_on is None:
        return None
    return _week(off, athlete.back_on, today, len(LAY_OFF_VOLUME))


def return_of(athlete: Athlete, lift: Lift, today: date) -> Return | None:
    """The way back to one lift that has the longest still to go; None if there is none."""
    found = settling_in(athlete, lift, today)
    return found if found is not None and found.week <= len(LAY_OFF_VOLUME) else None


def settling_in(athlete: Athlete, lift: Lift, today: date) -> Return | None:
    """As ``return_of``, and the weeks after the ramp while heavy work climbs back as well."""
    return min(_returns(athlete, lift, today), key=lambda item: item.week, default=None)


def most_after_ramp(week: int, last_ramp_ratio: float) -> float:
    """Most of the max on a max-effort day after the ramp.

    Parameters
    ----------
    week : int
        Which week back, from 5.
    last_ramp_ratio : float
        Share of the max in the ramp's last week.
    """
    return last_ramp_ratio + MOST_RISE_RATIO * (week - len(LAY_OFF_VOLUME))


def lay_off_volume(athlete: Athlete, today: date) -> float:
    """Share of the usual volume after a lay-off, 1 without one (the coach may choose another)."""
    week = week_back(athlete, today)
    return 1.0 if week is None else LAY_OFF_VOLUME[week - 1]


def _returns(athlete: Athlete, lift: Lift, today: date) -> Iterator[Return]:
    off = days_off(athlete)
    if off is not None and athlete.back_on is not None:
        week = _week(off, athlete.back_on, today, LAST_SETTLING_WEEK)
        if week is not None:
            yield Return(week, off, athlete.back_on)
    for rule in athlete.restrictions:
        if rule.cleared_on is None or not rule.bars_lift(lift):
            continue
        off = (rule.cleared_on - rule.since).days
        week = _week(off, rule.cleared_on, today, LAST_SETTLING_WEEK)
        if week is not None:
            what = lift.name.lower() if rule.tag == lift.key else rule.tag.replace("_", " ")
            yield Return(week, off, rule.cleared_on, what)


def _week(off: int, back_on: date, today: date, last_week: int) -> int | None:
    if off < LAY_OFF_DAYS or today < back_on:
        return None
    week = (today - back_on).days // 7 + 1
    return week if week <= last_week else None
