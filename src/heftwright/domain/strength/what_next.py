"""Which lifts do not move, and which test would make the coming loads most exact."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from heftwright.domain.catalogue import Catalogue, LiftKey, MaxEffortScheme
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.belief import Belief, Beliefs, BeliefSettings, believe
from heftwright.domain.strength.evidence import HEAVIEST_KG, Evidence, EvidenceKind
from heftwright.domain.strength.formulas import implied_max_ratio

_WORTH_TELLING_RATIO = 0.005
_STALL_WEEKS = 8
_LEAST_GAIN_PCT = 0.05
_SET_REPS, _SET_LEFT = 3, 1.0


@dataclass(frozen=True, slots=True)
class Stall:
    """A lift that has not moved against the athlete's own habit.

    Parameters
    ----------
    athlete, lift
        Whose, which.
    best_before_kg, best_lately_kg : float
        Best implied max in the window before, and in the latest [kg].
    words : str
        For the coach.
    """

    athlete: AthleteId
    lift: LiftKey
    best_before_kg: float
    best_lately_kg: float
    words: str


def stalled(
    evidence: Sequence[Evidence], today: date, *, weeks: int = _STALL_WEEKS
) -> tuple[Stall, ...]:
    """Lifts whose best of the last ``weeks`` does not beat the best of the ``weeks`` before.

    At least two efforts in each window, else nothing is said: missing is not zero.
    """
    by_pair: defaultdict[tuple[AthleteId, LiftKey], list[Evidence]] = defaultdict(list)
    for item in evidence:
        if timedelta(0) <= today - item.on < timedelta(weeks=2 * weeks):
            by_pair[item.athlete, item.lift].append(item)
    found = (_stall(pair, items, today, weeks) for pair, items in by_pair.items())
    return tuple(item for item in found if item is not None)


def _stall(
    pair: tuple[AthleteId, LiftKey], items: Sequence[Evidence], today: date, weeks: int
) -> Stall | None:
    limit = today - timedelta(weeks=weeks)
    lately = [item.implied_kg for item in items if item.on > limit]
    before = [item.implied_kg for item in items if item.on <= limit]
    if len(lately) < 2 or len(before) < 2 or max(lately) > max(before) * (1 + _WORTH_TELLING_RATIO):
        return None
    words = (
        f"No better than {Mass.nearest_kg(max(before)).shown(places=0)} in {weeks} weeks: best "
        f"lately {Mass.nearest_kg(max(lately)).shown(places=0)}."
    )
    return Stall(*pair, max(before), max(lately), words)


@dataclass(frozen=True, slots=True)
class TestIdea:
    """A test that would make the coming loads more exact.

    Parameters
    ----------
    lift : LiftKey
        What to test.
    error_before_pct, error_after_pct : float
        How far off the wanted lifts' loads are expected to be [% of the load], without and with
        this test.
    words : str
        For the coach.
    """

    __test__ = False  # not a pytest class

    lift: LiftKey
    error_before_pct: float
    error_after_pct: float
    words: str


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Everything ``believe`` takes, to ask what a test would tell."""

    evidence: Sequence[Evidence]
    athletes: Sequence[Athlete]
    catalogue: Catalogue
    today: date
    settings: BeliefSettings = BeliefSettings()

    def beliefs(self, *more: Evidence) -> Beliefs:
        """Beliefs with the spreads held at their prior medians: fast, and doubt is comparable."""
        one = replace(self.settings, grid_points=1)
        evidence = (*self.evidence, *more)
        return believe(evidence, self.athletes, self.catalogue, self.today, settings=one)


def worth_testing(
    known: WhatIf,
    athlete: Athlete,
    wanted: Mapping[LiftKey, float],
    *,
    also: Sequence[LiftKey] = (),
    never: Collection[LiftKey] = (),
    most: int = 3,
) -> tuple[TestIdea, ...]:
    """Which tests would make the loads of the lifts that matter most exact.

    Each candidate is tried: as if tested today at its median, how far off are the loads then? A
    lift that its athlete may not do today is no candidate. A minor, and a lift that is never done
    as a single, is tried as a set of three with one left (trust.md, minors).

    Parameters
    ----------
    known : WhatIf
        Evidence and squad.
    athlete : Athlete
        Whose.
    wanted : Mapping
        Lift -> how many loads hang on it (this wave's lifts, the contest's events).
    also : sequence of LiftKey
        Lifts worth trying beside the wanted ones: a test of a sister lift can tell more.
    never : collection of LiftKey
        Lifts that must not be tested now, such as in the first weeks back to them.
    most : int
        How many ideas at most.
    """
    base = known.beliefs()
    before = _error_pct(base, athlete.id, wanted)
    ideas = []
    for lift in dict.fromkeys((*wanted, *also)):
        is_off = athlete.restriction_against(known.catalogue[lift], known.today) is not None
        is_absurd = base[athlete.id, lift].median_kg > HEAVIEST_KG
        if is_off or is_absurd or lift in never:
            continue
        test = _test(known, athlete, base[athlete.id, lift])
        after = _error_pct(known.beliefs(test), athlete.id, wanted)
        if before - after >= _LEAST_GAIN_PCT:
            ideas.append(TestIdea(lift, before, after, _idea_words(test, base, before, after)))
    return tuple(sorted(ideas, key=lambda idea: idea.error_after_pct)[:most])


def expected_error(belief: Belief, today: date) -> float:
    """How far a load taken of this max is expected to be off, as a share of the right load.

    The mean distance, on the log scale, between the max in use and the true one. Of a tested lift
    the median is used; of an untested one its cautious end, which is off more often, on purpose.
    """
    used_kg, _ = belief.prescribing_kg(today)
    z = math.log(used_kg / belief.median_kg) / belief.log_sd
    density = math.exp(-0.5 * z * z) / math.sqrt(2 * math.pi)
    return belief.log_sd * (2 * density + z * math.erf(z / math.sqrt(2)))


def _error_pct(beliefs: Beliefs, athlete: AthleteId, wanted: Mapping[LiftKey, float]) -> float:
    total = sum(wanted.values()) or 1.0
    errors = (
        weight * expected_error(beliefs[athlete, lift], beliefs.today)
        for lift, weight in wanted.items()
    )
    return 100 * sum(errors) / total


def _test(known: WhatIf, athlete: Athlete, belief: Belief) -> Evidence:
    lift = known.catalogue[belief.lift]
    is_single = MaxEffortScheme.SINGLE not in lift.never_as
    if is_single and not athlete.is_minor_on(known.today):
        load = Mass.nearest_kg(belief.median_kg)
        return Evidence(athlete.id, lift.key, EvidenceKind.TEST, load, known.today)
    load = Mass.nearest_kg(belief.median_kg / implied_max_ratio(_SET_REPS + _SET_LEFT))
    return Evidence(
        athlete.id, lift.key, EvidenceKind.REP_SET, load, known.today, _SET_REPS, _SET_LEFT
    )


def _idea_words(test: Evidence, base: Beliefs, before: float, after: float) -> str:
    known = base[test.athlete, test.lift].words(base.today)
    how = "a single" if test.is_single else f"a set of {_SET_REPS} with {_SET_LEFT:g} left"
    return (
        f"{known}; {how} takes the loads from about {before:.1f} % off to about {after:.1f} % off"
    )
