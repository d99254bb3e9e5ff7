"""New information is proposed to the coach, never silently applied; and what to test next."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from heftwright.domain.catalogue import Catalogue, LiftKey
from heftwright.domain.log.entry import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId
from heftwright.domain.strength.belief import Belief, Beliefs, BeliefSettings, believe
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.domain.strength.jumps import JumpFlag, check_new_max

_WORTH_TELLING_RATIO = 0.005
_STALL_WEEKS = 8


class ProposalKind(StrEnum):
    """Which way the max would go."""

    FIRST_TEST = "first_test"
    RAISE = "raise"
    LOWER = "lower"
    CONFIRM = "confirm"


@dataclass(frozen=True, slots=True)
class MaxProposal:
    """A changed max for the coach to accept, adjust or ignore.

    Parameters
    ----------
    athlete, lift
        Whose, in which lift.
    kind : ProposalKind
        Which way.
    old_kg, new_kg : float
        Medians before and after [kg].
    old_words, why : str
        What was known, and what is new.
    flags : tuple of JumpFlag
        Questions; a hard one stops the proposal until it is answered.
    evidence : tuple of Evidence
        What it rests on.
    """

    athlete: AthleteId
    lift: LiftKey
    kind: ProposalKind
    old_kg: float
    new_kg: float
    old_words: str
    why: str
    flags: tuple[JumpFlag, ...]
    evidence: tuple[Evidence, ...]

    @property
    def is_stopped(self) -> bool:
        """Whether a hard question must be answered first."""
        return any(flag.is_hard for flag in self.flags)


def propose(
    before: Beliefs,
    after: Beliefs,
    new: Sequence[Evidence],
    *,
    unit: MassUnit = MassUnit.KG,
) -> tuple[MaxProposal, ...]:
    """Proposals from new evidence, one an athlete and lift.

    Parameters
    ----------
    before, after : Beliefs
        Without and with the new evidence.
    new : sequence of Evidence
        Not yet accepted.
    unit : MassUnit
        The unit the loads were entered in, for questions about it.
    """
    by_pair: defaultdict[tuple[AthleteId, LiftKey], list[Evidence]] = defaultdict(list)
    for item in new:
        if (item.athlete, item.lift) in before and item.on <= after.today:
            by_pair[item.athlete, item.lift].append(item)
    return tuple(
        _proposal(before[pair], after[pair], tuple(items), after.today, unit)
        for pair, items in by_pair.items()
    )


def _proposal(
    old: Belief, new: Belief, items: tuple[Evidence, ...], today: date, unit: MassUnit
) -> MaxProposal:
    best = max(items, key=lambda item: item.implied_kg)
    flags = check_new_max(_as_entered(best, unit), old)
    reps = "" if best.reps == 1 else f" for {best.reps}"
    left = f" with {best.reps_in_reserve:g} left" if best.reps_in_reserve else ""
    why = f"{best.load.shown(unit)}{reps}{left} on {best.on.isoformat()}"
    kind = _kind(old, new, best)
    return MaxProposal(
        old.athlete, old.lift, kind, old.median_kg, new.median_kg,
        old.words(today, unit), why, flags, items,
    )  # fmt: skip


def _as_entered(evidence: Evidence, unit: MassUnit) -> EnteredMass:
    """The max it speaks for; of a single the very number that was entered."""
    is_exact = evidence.possible_reps == 1
    if is_exact:
        return EnteredMass(round(evidence.load.ticks * 1000 / unit.ticks), unit)
    halves = round(2 * Mass.nearest_kg(evidence.implied_kg).ticks / unit.ticks)
    return EnteredMass(500 * halves, unit)


def _kind(old: Belief, new: Belief, best: Evidence) -> ProposalKind:
    if best.is_single and not old.is_tested:
        return ProposalKind.FIRST_TEST
    change = new.median_kg / old.median_kg - 1
    if abs(change) < _WORTH_TELLING_RATIO:
        return ProposalKind.CONFIRM
    return ProposalKind.RAISE if change > 0 else ProposalKind.LOWER


def evidence_from_log(
    sets: Sequence[LoggedSet],
    is_straight: Callable[[LoggedSet], bool] = lambda _: True,
    known: Beliefs | None = None,
) -> tuple[Evidence, ...]:
    """Evidence in a log: the best top set an athlete, lift and class.

    Only sets marked as the day's top attempt and made count: a miss or a warm-up is never taken
    for a max. A rep set that was made as asked while nobody said what was left is a floor under
    the max: it counts only above what is known. Corrected facts are replaced by their corrections.

    Parameters
    ----------
    sets : sequence of LoggedSet
        The log.
    is_straight : callable
        Whether a set was done with straight weight; others must be converted through the bands
        first and come in as banded singles.
    known : Beliefs or None
        What is believed so far.
    """
    corrected = {item.corrects for item in sets if item.corrects is not None}
    best: dict[tuple[str, str, str], Evidence] = {}
    for item in sets:
        if item.id in corrected or not _counts(item) or not is_straight(item):
            continue
        found = _from_set(item)
        if _is_only_a_floor(item, found, known):
            continue
        key = (item.athlete, item.lift, item.class_key)
        if key not in best or found.implied_kg > best[key].implied_kg:
            best[key] = found
    return tuple(best.values())


def _counts(item: LoggedSet) -> bool:
    made = item.outcome in (SetOutcome.DONE, SetOutcome.CHANGED)
    return item.is_max_attempt and made and 1 <= item.reps_done <= 12 and item.load.thousandths > 0


def _is_only_a_floor(item: LoggedSet, found: Evidence, known: Beliefs | None) -> bool:
    if item.reps_in_reserve is not None or found.reps == 1 or known is None:
        return False
    pair = (found.athlete, found.lift)
    return pair in known and found.implied_kg <= known[pair].median_kg


def _from_set(item: LoggedSet) -> Evidence:
    kind = EvidenceKind.TEST if item.reps_done == 1 else EvidenceKind.REP_SET
    return Evidence(
        item.athlete,
        item.lift,
        kind,
        item.load.mass,
        item.logged_at.date(),
        item.reps_done,
        item.reps_in_reserve or 0.0,
        f"logged in class {item.class_key}",
    )


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
    """A test that would tell most.

    Parameters
    ----------
    lift : LiftKey
        What to test.
    doubt_before, doubt_after : float
        Weighted sd over the wanted lifts, log scale, without and with this test.
    words : str
        For the coach.
    """

    __test__ = False  # not a pytest class

    lift: LiftKey
    doubt_before: float
    doubt_after: float
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
    known: WhatIf, athlete: AthleteId, wanted: Mapping[LiftKey, float], most: int = 3
) -> tuple[TestIdea, ...]:
    """Which tests would take most doubt off the lifts that matter.

    Each candidate is tried: as if tested today at its median, how much does the doubt shrink?

    Parameters
    ----------
    known : WhatIf
        Evidence and squad.
    athlete : AthleteId
        Whose.
    wanted : Mapping
        Lift -> how much it matters, ≥ 0 (the contest's events, this wave's lifts).
    most : int
        How many ideas at most.
    """
    base = known.beliefs()
    before = _doubt(base, athlete, wanted)
    ideas = []
    for lift in wanted:
        load = Mass.nearest_kg(base[athlete, lift].median_kg)
        test = Evidence(athlete, lift, EvidenceKind.TEST, load, known.today)
        after = _doubt(known.beliefs(test), athlete, wanted)
        known_words = base[athlete, lift].words(known.today)
        words = f"{known_words}: a test takes {100 * (1 - after / before):.0f} % off the doubt"
        ideas.append(TestIdea(lift, before, after, words))
    return tuple(sorted(ideas, key=lambda idea: idea.doubt_after)[:most])


def _doubt(beliefs: Beliefs, athlete: AthleteId, wanted: Mapping[LiftKey, float]) -> float:
    total = sum(wanted.values()) or 1.0
    return sum(weight * beliefs[athlete, lift].log_sd for lift, weight in wanted.items()) / total
