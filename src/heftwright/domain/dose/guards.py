"""Guards on what may be prescribed or entered: hard ones refuse, soft ones ask (trust.md).

A guard never changes a number. It says what is wrong and what to do; nowhere does it say that
something is safe. Limits marked "ours" are the house's own and editable.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from heftwright.domain.catalogue import Lift, MaxEffortScheme
from heftwright.domain.dose.returns import LAY_OFF_NO_MAX_WEEKS, LAY_OFF_VOLUME, return_of
from heftwright.domain.dose.scheme import Scheme
from heftwright.domain.dose.zones import Against, ZoneTable, judge
from heftwright.domain.mass import EnteredMass, Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Athlete
from heftwright.domain.strength.formulas import share_of_max
from heftwright.domain.strength.jumps import check_new_max
from heftwright.domain.strength.one_max import CAUTIOUS_QUANTILE, Belief

HEAVIEST_SHARE = 1.10
TOP_SHARE_ASKS = 1.02
SPEED_BAR_ASKS = 0.92
MINOR_TOP_SHARE = 0.90
MINOR_BAND_PAIRS = 1
OPEN_TOP_RATIO = 0.70
"""Where the steps stop when only the coach may set the top set: ours, a clearly light set."""
UNTESTED_NEAR_RATIO = 0.85
"""Most of the cautious max in a lift that was never tested when a contest is near: ours."""


class GuardKind(StrEnum):
    """What a guard is about: one a hazard."""

    WRONG_NUMBER = "wrong_number"
    JUMP = "jump"
    MINOR = "minor"
    MINOR_UNSUPERVISED = "minor_unsupervised"
    RESTRICTED = "restricted"
    LAY_OFF = "lay_off"
    STALE_MAX = "stale_max"
    NO_TOP_TARGET = "no_top_target"
    UNTESTED_NEAR_CONTEST = "untested_near_contest"
    MINOR_BANDS = "minor_bands"
    ESTIMATED_TOP = "estimated_top"
    TOO_HEAVY = "too_heavy"
    TOO_MANY_REPS = "too_many_reps"
    NEVER_AS = "never_as"
    PAIN = "pain"
    RED_FLAG = "red_flag"
    FAST_LOSS = "fast_loss"
    ROUNDING = "rounding"


@dataclass(frozen=True, slots=True)
class Guard:
    """One thing that stops or asks.

    Parameters
    ----------
    kind : GuardKind
        Which hazard.
    is_hard : bool
        True: refused until resolved or overridden with a name and a reason. False: asks.
    sentence : str
        What is wrong, where, and what to do.
    interrupts : bool
        Whether it stands in the coach's way; else it is a note beside the number.
    """

    kind: GuardKind
    is_hard: bool
    sentence: str
    interrupts: bool = True


class OverrideError(Refusal):
    """An override without a name or a reason."""


@dataclass(frozen=True, slots=True)
class Override:
    """A coach's decision to go on in spite of a guard: who, why, when."""

    guard: Guard
    by: str
    reason: str
    on: date

    def __post_init__(self) -> None:
        if not self.by.strip() or len(self.reason.strip()) < 3:
            raise OverrideError("An override takes the coach's name and a reason in words.")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is about to be prescribed to one athlete.

    Parameters
    ----------
    lift : Lift
        Which lift.
    scheme : Scheme
        Sets × reps.
    bar_kg, top_kg : float
        Load on the bar, and with bands or chains at lockout [kg].
    max_effort : MaxEffortScheme or None
        None for dynamic-effort and rep work.
    wanted_kg : float or None
        What the percentages asked for before rounding [kg], if known.
    is_near_contest : bool
        A taper week, or the athlete's own contest within two weeks.
    set_by : str
        The coach who set this load by hand; empty if it was worked out.
    band_pairs : int
        Pairs of bands on the bar.
    """

    lift: Lift
    scheme: Scheme
    bar_kg: float
    top_kg: float
    max_effort: MaxEffortScheme | None = None
    wanted_kg: float | None = None
    is_near_contest: bool = False
    set_by: str = ""
    band_pairs: int = 0


def guards_on(
    wanted: Wanted,
    athlete: Athlete,
    belief: Belief,
    today: date,
    zones: ZoneTable | None = None,
) -> tuple[Guard, ...]:
    """All guards on one prescription, hard ones first.

    Parameters
    ----------
    wanted : Wanted
        The work.
    athlete : Athlete
        Whose.
    belief : Belief
        The max it is a share of.
    today : date
        The day of the class.
    zones : ZoneTable or None
        Hold the number of lifts against this table, or not.
    """
    found = [
        *_restriction(wanted, athlete, today),
        *_minor(wanted, athlete, belief, today),
        *_minor_bands(wanted, athlete, today),
        *_lay_off(wanted, athlete, today),
        *_age_of_max(wanted, belief, today),
        *_untested_near_contest(wanted, belief),
        *_load(wanted, belief),
        *_never_as(wanted),
        *(_volume(wanted, belief, zones) if zones else ()),
    ]
    return tuple(sorted(found, key=lambda guard: not guard.is_hard))


def _restriction(wanted: Wanted, athlete: Athlete, today: date) -> Iterator[Guard]:
    rule = athlete.restriction_against(wanted.lift, today)
    if rule is not None:
        asks = f"; ask again on {rule.until.isoformat()}" if rule.until else ""
        yield Guard(
            GuardKind.RESTRICTED,
            is_hard=True,
            sentence=f"{athlete.name}: {wanted.lift.name} is off ({rule.tag}) until cleared{asks}. "
            "Choose another lift.",
        )


def _minor(wanted: Wanted, athlete: Athlete, belief: Belief, today: date) -> Iterator[Guard]:
    """No maximal singles by default, guardian and named supervisor (AAP 2020; local rules)."""
    if not athlete.is_minor_on(today):
        return
    why = "under 18" if athlete.born_on else "no birth date on record counts as under 18"
    is_maximal = wanted.max_effort is MaxEffortScheme.SINGLE or (
        wanted.max_effort is not None and wanted.top_kg > MINOR_TOP_SHARE * belief.median_kg
    )
    if is_maximal:
        yield Guard(
            GuardKind.MINOR,
            is_hard=True,
            sentence=f"{athlete.name}: {why}, so no maximal lifts by default. Use technique sets "
            f"of 3 and more at or below {100 * MINOR_TOP_SHARE:.0f} %.",
        )
    if not (athlete.guardian.strip() and athlete.supervisor.strip()):
        yield Guard(
            GuardKind.MINOR_UNSUPERVISED,
            is_hard=True,
            sentence=f"{athlete.name}: {why}, and a guardian and a named supervisor are not both "
            "on record. Enter them first; local rules go before ours.",
        )


def _minor_bands(wanted: Wanted, athlete: Athlete, today: date) -> Iterator[Guard]:
    """One pair is the most that the tool hangs for a minor by itself (ours)."""
    if athlete.is_minor_on(today) and wanted.band_pairs > MINOR_BAND_PAIRS:
        yield Guard(
            GuardKind.MINOR_BANDS,
            is_hard=False,
            sentence=f"{athlete.name} counts as under 18 and has {wanted.band_pairs} band pairs "
            "on the bar: one is the most without the coach. Take bands off, or stay at this bar.",
        )


def _lay_off(wanted: Wanted, athlete: Athlete, today: date) -> Iterator[Guard]:
    if athlete.away_since is not None and athlete.back_on is None:
        yield Guard(
            GuardKind.LAY_OFF,
            is_hard=True,
            sentence=f"{athlete.name} is away since {athlete.away_since.isoformat()}: enter the "
            "day back before work is prescribed.",
        )
        return
    back = return_of(athlete, wanted.lift, today)
    if back is None:
        return
    week = back.week
    volume = LAY_OFF_VOLUME[week - 1]
    is_max = wanted.max_effort is not None and week <= LAY_OFF_NO_MAX_WEEKS
    yield Guard(
        GuardKind.LAY_OFF,
        is_hard=is_max,
        sentence=f"{athlete.name}: week {week} back after {back.words}. "
        + (
            f"No max-effort work in the first {LAY_OFF_NO_MAX_WEEKS} weeks; "
            if is_max
            else "Coach-chosen ramp: "
        )
        + f"about {100 * volume:.0f} % of the usual volume.",
        interrupts=is_max,
    )


def _age_of_max(wanted: Wanted, belief: Belief, today: date) -> Iterator[Guard]:
    days = belief.days_since_test(today)
    if wanted.max_effort is None:
        if days is not None and belief.asks_for_test(today):
            yield _note(GuardKind.STALE_MAX, f"The max is {days // 7} weeks old: test or confirm.")
        return
    if days is None:
        sentence = "The max is an estimate: the ramp ends where the coach says, no set top."
        yield _note(GuardKind.ESTIMATED_TOP, sentence)
    elif not belief.may_target_top(today) and _is_above(OPEN_TOP_RATIO, wanted, belief):
        yield Guard(
            GuardKind.NO_TOP_TARGET,
            is_hard=not wanted.set_by,
            sentence=f"The max is {belief.why_no_top}: no automatic top target. The steps stop "
            f"at {100 * OPEN_TOP_RATIO:.0f} % of what it is worth; the coach sets the top set"
            + (f", and {wanted.set_by} did." if wanted.set_by else "."),
            interrupts=not wanted.set_by,
        )
    elif belief.asks_for_test(today):
        yield _note(GuardKind.STALE_MAX, f"The max is {days // 7} weeks old: test or confirm.")


def _is_above(ratio: float, wanted: Wanted, belief: Belief) -> bool:
    """Whether the top is above a share of the cautious max, for so many repetitions."""
    assert wanted.max_effort is not None
    most_kg = ratio * share_of_max(wanted.max_effort.top_reps)
    return wanted.top_kg > most_kg * belief.quantile_kg(CAUTIOUS_QUANTILE) + 0.05


def _untested_near_contest(wanted: Wanted, belief: Belief) -> Iterator[Guard]:
    """A taper is no time for a first max: what was never tested is not lifted heavy in it."""
    if wanted.max_effort is None or belief.is_tested or not wanted.is_near_contest:
        return
    single = wanted.max_effort is MaxEffortScheme.SINGLE
    if single or _is_above(UNTESTED_NEAR_RATIO, wanted, belief):
        yield Guard(
            GuardKind.UNTESTED_NEAR_CONTEST,
            is_hard=True,
            sentence=f"{wanted.lift.name} was never tested and a contest is near: no heavy single "
            f"in it and nothing above {100 * UNTESTED_NEAR_RATIO:.0f} %. Take a tested lift, or a "
            "lighter set of 3 and more.",
        )


def _note(kind: GuardKind, sentence: str) -> Guard:
    return Guard(kind, is_hard=False, sentence=sentence, interrupts=False)


def _load(wanted: Wanted, belief: Belief) -> Iterator[Guard]:
    heaviest = max(wanted.bar_kg, wanted.top_kg)
    share = heaviest / belief.median_kg
    said = f"{_kg(heaviest)} is {100 * share:.0f} % of the max of {_kg(belief.median_kg)}"
    if wanted.bar_kg <= 0 or share > HEAVIEST_SHARE:
        yield Guard(
            GuardKind.TOO_HEAVY,
            is_hard=True,
            sentence=f"{said}: above {100 * HEAVIEST_SHARE:.0f} % only the coach.",
        )
    elif wanted.max_effort is None and (
        share > TOP_SHARE_ASKS or wanted.bar_kg > SPEED_BAR_ASKS * belief.median_kg
    ):
        yield Guard(
            GuardKind.TOO_HEAVY, is_hard=False, sentence=f"{said}, for speed or rep work: meant?"
        )
    if wanted.wanted_kg is not None and wanted.bar_kg > wanted.wanted_kg + 0.05:
        gap = wanted.bar_kg - wanted.wanted_kg
        yield Guard(
            GuardKind.ROUNDING,
            is_hard=False,
            sentence=f"Rounded up by {_kg(gap)} to {_kg(wanted.bar_kg)}: the rule is down.",
            interrupts=gap > max(2.5, 0.025 * belief.median_kg),
        )


def _never_as(wanted: Wanted) -> Iterator[Guard]:
    if wanted.max_effort in wanted.lift.never_as:
        assert wanted.max_effort is not None
        words = wanted.max_effort.value.replace("_", " ")
        yield Guard(
            GuardKind.NEVER_AS,
            is_hard=True,
            sentence=f"{wanted.lift.name} is not done as a {words}: choose another scheme.",
        )


def _volume(wanted: Wanted, belief: Belief, zones: ZoneTable) -> Iterator[Guard]:
    if wanted.max_effort is not None:
        return
    pct = 100 * max(wanted.bar_kg, wanted.top_kg) / belief.median_kg
    zone = zones.row_at(pct, is_banded=wanted.top_kg > wanted.bar_kg)
    if zone is None:
        return
    verdict = judge(zone, wanted.scheme)
    if verdict.against_range is Against.ABOVE:
        interrupts = verdict.lifts > 1.25 * zone.total[1]
        yield Guard(
            GuardKind.TOO_MANY_REPS,
            is_hard=False,
            sentence=f"{wanted.scheme} at {pct:.0f} %: {verdict.words}. Fewer sets?",
            interrupts=interrupts,
        )


def guards_on_entry(entered: EnteredMass, known: Belief) -> tuple[Guard, ...]:
    """Guards on an entered max or contest result: wrong unit, out by ten, jumps."""
    return tuple(
        Guard(
            GuardKind.WRONG_NUMBER if flag.is_hard else GuardKind.JUMP,
            is_hard=flag.is_hard,
            sentence=flag.sentence,
        )
        for flag in check_new_max(entered, known)
    )


def heavy_straight_lower_days(straight_lower_ratios: tuple[float, ...]) -> tuple[Guard, ...]:
    """Two heavy lower days in a week without bands or chains raise a question (common practice).

    Parameters
    ----------
    straight_lower_ratios : tuple of float
        Top share of the max of each straight-weight lower day of the week.
    """
    heavy = [ratio for ratio in straight_lower_ratios if ratio >= 0.80]
    if len(heavy) < 2:
        return ()
    sentence = (
        f"{len(heavy)} heavy lower days this week without bands or chains: make one lighter, or "
        "say why."
    )
    return (Guard(GuardKind.TOO_MANY_REPS, is_hard=False, sentence=sentence),)


def _kg(value: float) -> str:
    return Mass.nearest_kg(value).shown(places=1)
