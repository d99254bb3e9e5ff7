"""New information is proposed to the coach, never silently applied."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log.entry import LoggedSet, SetOutcome
from heftwright.domain.mass import MassUnit
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.belief import Belief, Beliefs
from heftwright.domain.strength.evidence import HEAVIEST_KG, Evidence, EvidenceKind
from heftwright.domain.strength.jumps import JumpFlag, check_evidence

_WORTH_TELLING_RATIO = 0.005


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
    # every piece is asked about, not only the strongest: all of them are taken on accepting
    asked = {flag: None for item in items for flag in check_evidence(item, old, unit)}
    flags = tuple(sorted(asked, key=lambda flag: not flag.is_hard))
    reps = "" if best.reps == 1 else f" for {best.reps}"
    left = f" with {best.reps_in_reserve:g} left" if best.reps_in_reserve else ""
    why = f"{best.load.shown(unit)}{reps}{left} on {best.on.isoformat()}"
    kind = _kind(old, new, best)
    return MaxProposal(
        old.athlete, old.lift, kind, old.median_kg, new.median_kg,
        old.words(today, unit), why, flags, items,
    )  # fmt: skip


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
    for a max. Corrected facts are replaced by their corrections. A set of which nobody said how
    much was left, with no miss beside it, is a floor under the max: above what is known it is
    news, below it says nothing and is left out, unless it is a first single.

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
    standing = [item for item in sets if item.id not in corrected and is_straight(item)]
    missed = {_place(item) for item in standing if item.outcome is SetOutcome.MISSED}
    best: dict[tuple[AthleteId, LiftKey, str], tuple[Evidence, bool]] = {}
    for item in standing:
        if not _counts(item):
            continue
        is_floor = item.reps_in_reserve is None and _place(item) not in missed
        found, place = _from_set(item), _place(item)
        if place not in best or found.implied_kg > best[place][0].implied_kg:
            best[place] = found, is_floor
    return tuple(
        found for found, is_floor in best.values() if not (is_floor and _says_nothing(found, known))
    )


def _place(item: LoggedSet) -> tuple[AthleteId, LiftKey, str]:
    return item.athlete, item.lift, item.class_key


def _counts(item: LoggedSet) -> bool:
    made = item.outcome in (SetOutcome.DONE, SetOutcome.CHANGED)
    can_be = 0 < item.load.mass.in_kg <= HEAVIEST_KG
    return item.is_max_attempt and made and 1 <= item.reps_done <= 12 and can_be


def _says_nothing(floor: Evidence, known: Beliefs | None) -> bool:
    pair = (floor.athlete, floor.lift)
    if known is None or pair not in known:
        return False
    is_first_single = floor.reps == 1 and not known[pair].is_tested
    return not is_first_single and floor.implied_kg <= known[pair].median_kg


def _from_set(item: LoggedSet) -> Evidence:
    kind = EvidenceKind.TEST if item.reps_done == 1 else EvidenceKind.REP_SET
    left = "" if item.reps_in_reserve is not None else "; nobody said how much was left"
    return Evidence(
        item.athlete,
        item.lift,
        kind,
        item.load.mass,
        _day(item),
        item.reps_done,
        item.reps_in_reserve or 0.0,
        f"logged in class {item.class_key}{left}",
    )


def _day(item: LoggedSet) -> date:
    """The day of the class, also of a set that was logged the morning after."""
    try:
        return date.fromisoformat(item.class_key.partition("/")[0])
    except ValueError:
        return item.logged_at.date()
