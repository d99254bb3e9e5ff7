"""What a coach looks at about maxes: one athlete's beliefs with all they rest on, and the squad."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from statistics import median

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey, Pattern
from heftwright.domain.dose.returns import LAY_OFF_NO_MAX_WEEKS, return_of
from heftwright.domain.mass import MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength import Beliefs, Evidence, believe
from heftwright.domain.strength.belief import family_of
from heftwright.domain.strength.evidence import EvidenceKind
from heftwright.domain.strength.formulas import RepMaxDomainError, rep_max_range
from heftwright.domain.strength.progress import level_path
from heftwright.domain.strength.what_next import TestIdea, WhatIf, stalled, worth_testing
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.gathering import monday_of
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.maxes import KeptEvidence, Proposal, get_evidence, get_proposals
from heftwright.usecases.season import find_planned_season
from heftwright.usecases.squad import get_athlete, get_squad
from heftwright.usecases.strength_views import (
    AthleteStrength,
    Consequence,
    EvidenceLine,
    LiftBelief,
    LiftProgress,
    LiftRecord,
    ProgressPoint,
    SquadProgress,
    SquadStrength,
    WaitingProposal,
)

WAVE_WEEKS = 4
MOST_WANTED = 8
MOST_SISTERS = 4
PROGRESS_WEEKS = 26
SPAN_WEEKS, SPANS = 4, 6
WORTH_SHOWING = 0.005


def get_athlete_strength(*, gym: GymKey, athlete: AthleteId) -> AthleteStrength:
    """One athlete's beliefs with all that they rest on, and what would change.

    Raises
    ------
    NotFoundError
        If the squad has no such athlete.
    """
    person = get_athlete(gym=gym, athlete=athlete)
    return _Look(gym).at(person)


def get_squad_strength(*, gym: GymKey) -> SquadStrength:
    """What waits for the coach, stalled lifts, progress and records."""
    today, catalogue = clock.today(gym), catalogue_of(gym)
    people = {item.id: item for item in get_squad(gym=gym)}
    evidence = [kept.evidence for kept in get_evidence(gym=gym)]
    waiting = tuple(
        (people[item.athlete], catalogue[item.lift], item)
        for item in get_proposals(gym=gym)
        if item.athlete in people
    )
    stalls = tuple(
        (people[item.athlete], catalogue[item.lift], item) for item in stalled(evidence, today)
    )
    progress = _squad_progress(people, evidence, today, catalogue)
    middle = median(line.change_ratio for line in progress) if progress else None
    return SquadStrength(
        today, waiting, stalls, progress, middle, _middle_of(progress),
        _records(people, evidence, catalogue),
        _stale(people, evidence, today, catalogue),
    )  # fmt: skip


class _Look:
    """What is read once for one athlete's page."""

    def __init__(self, gym: GymKey) -> None:
        self._gym, self._today, self._catalogue = gym, clock.today(gym), catalogue_of(gym)
        self._squad, self._unit = get_squad(gym=gym), MassUnit(find_gym(gym).unit)
        self._kept = get_evidence(gym=gym)
        self._evidence = [kept.evidence for kept in self._kept]
        self._beliefs = self._believe(())

    def at(self, person: Athlete) -> AthleteStrength:
        mine: dict[LiftKey, list[KeptEvidence]] = defaultdict(list)
        for kept in self._kept:
            if kept.evidence.athlete == person.id:
                mine[kept.evidence.lift].append(kept)
        wanted, words = self._wanted(mine)
        what_if = WhatIf(self._evidence, self._squad, self._catalogue, self._today)
        own = [kept.evidence for items in mine.values() for kept in items]
        stalls = stalled(own, self._today)
        return AthleteStrength(
            person,
            self._today,
            tuple(self._lift(person, key, mine) for key in self._order(person, mine)),
            tuple(self._waiting(person, item) for item in self._proposals(person)),
            self._to_test(what_if, person, wanted, mine),
            words,
            tuple((self._catalogue[item.lift], item) for item in stalls),
            _progress(own, self._today, self._catalogue),
        )

    def _to_test(
        self,
        what_if: WhatIf,
        person: Athlete,
        wanted: Mapping[LiftKey, float],
        mine: Mapping[LiftKey, list[KeptEvidence]],
    ) -> tuple[tuple[Lift, TestIdea], ...]:
        """What to test next; nothing for somebody who is away or in the first weeks back."""
        if not wanted or (person.away_since is not None and person.back_on is None):
            return ()
        sisters = sorted(mine, key=lambda lift: -len(mine[lift]))[:MOST_SISTERS]
        early = {lift for lift in (*wanted, *sisters) if self._is_early(person, lift)}
        ideas = worth_testing(what_if, person, wanted, also=sisters, never=early)
        return tuple((self._catalogue[idea.lift], idea) for idea in ideas)

    def _is_early(self, person: Athlete, lift: LiftKey) -> bool:
        """Whether this is one of the first weeks back to a lift, without max-effort work."""
        back = return_of(person, self._catalogue[lift], self._today)
        return back is not None and back.week <= LAY_OFF_NO_MAX_WEEKS

    def _believe(self, more: Sequence[Evidence]) -> Beliefs:
        return believe((*self._evidence, *more), self._squad, self._catalogue, self._today)

    def _order(self, person: Athlete, mine: Mapping[LiftKey, object]) -> list[LiftKey]:
        """Lifts with own evidence first, then the surest."""
        beliefs = self._beliefs
        keys = [lift for lift in beliefs.lifts if (person.id, lift) in beliefs]
        return sorted(keys, key=lambda lift: (lift not in mine, beliefs[person.id, lift].log_sd))

    def _lift(
        self, person: Athlete, key: LiftKey, mine: Mapping[LiftKey, list[KeptEvidence]]
    ) -> LiftBelief:
        belief, lift = self._beliefs[person.id, key], self._catalogue[key]
        used_kg, used_words = belief.prescribing_kg(self._today)
        lines = [self._line(kept, lift) for kept in reversed(mine.get(key, []))]
        ratio = "" if key in mine else self._ratio_words(person, lift, mine)
        return LiftBelief(lift, belief, used_kg, used_words, tuple(lines), ratio)

    def _line(self, kept: KeptEvidence, lift: Lift) -> EvidenceLine:
        item = kept.evidence
        age, says = item.age_days(self._today), self._beliefs.says(item, self._unit)
        if item.reps == 1:
            return EvidenceLine(kept, age, says, None)
        is_deadlift = lift.pattern is Pattern.DEADLIFT
        try:
            found = rep_max_range(item.load.in_kg, item.reps, is_deadlift=is_deadlift)
        except RepMaxDomainError as error:
            return EvidenceLine(kept, age, says, None, str(error))
        return EvidenceLine(kept, age, says, found)

    def _ratio_words(self, person: Athlete, lift: Lift, mine: Iterable[LiftKey]) -> str:
        """The ratio to the athlete's surest lift of the same family, and where it is from."""
        family = family_of(lift)
        known = [key for key in mine if family_of(self._catalogue[key]) == family] or list(mine)
        if not known:
            return ""
        anchor = min(known, key=lambda key: self._beliefs[person.id, key].log_sd)
        ratio, source = self._beliefs.athlete_ratio(person.id, lift.key, anchor)
        name = self._catalogue[anchor].name
        return f"{ratio:.2f} of {name[:1].lower()}{name[1:]}: {source}"

    def _proposals(self, person: Athlete) -> list[Proposal]:
        return [item for item in get_proposals(gym=self._gym) if item.athlete == person.id]

    def _waiting(self, person: Athlete, item: Proposal) -> WaitingProposal:
        after = self._believe(item.proposal.evidence)
        changes = [
            Consequence(
                self._catalogue[lift], self._beliefs[person.id, lift].median_kg,
                after[person.id, lift].median_kg,
            )
            for lift in after.lifts
        ]  # fmt: skip
        told = [one for one in changes if abs(one.change_ratio) >= WORTH_SHOWING]
        told.sort(key=lambda one: -abs(one.change_ratio))
        own = next(one for one in changes if one.lift.key == item.lift)
        return WaitingProposal(item, self._catalogue[item.lift], own, tuple(told))

    def _wanted(self, mine: Mapping[LiftKey, object]) -> tuple[dict[LiftKey, float], str]:
        """The lifts of the coming weeks, nearer ones weigh more; without a season, the own ones."""
        planned = find_planned_season(gym=self._gym)
        weights: dict[LiftKey, float] = defaultdict(float)
        monday = monday_of(self._today)
        last = monday + timedelta(weeks=WAVE_WEEKS)
        for work in planned.plan.work if planned else ():
            if monday <= work.monday < last and work.lift in self._beliefs.lifts:
                weights[work.lift] += 1.0
        if weights:
            top = sorted(weights, key=lambda lift: -weights[lift])[:MOST_WANTED]
            return {
                lift: weights[lift] for lift in top
            }, f"the lifts of the next {WAVE_WEEKS} weeks"
        return dict.fromkeys(
            list(mine)[:MOST_WANTED], 1.0
        ), "the lifts with evidence, no season yet"


def _progress(
    evidence: Iterable[Evidence], today: date, catalogue: Catalogue
) -> tuple[LiftProgress, ...]:
    """Lifts with efforts on two days or more, the most efforts first."""
    days: dict[LiftKey, dict[date, ProgressPoint]] = defaultdict(dict)
    for item in evidence:
        if item.on > today - timedelta(weeks=2 * PROGRESS_WEEKS):
            point = ProgressPoint(item.on, item.implied_kg, item.is_single)
            best = days[item.lift].get(item.on)
            if best is None or point.kg > best.kg:
                days[item.lift][item.on] = point
    found = [
        LiftProgress(catalogue[lift], tuple(points[on] for on in sorted(points)))
        for lift, points in days.items()
        if len(points) > 1
    ]
    return tuple(sorted(found, key=lambda line: -len(line.points)))


def _squad_progress(
    people: Mapping[AthleteId, Athlete],
    evidence: Sequence[Evidence],
    today: date,
    catalogue: Catalogue,
) -> tuple[SquadProgress, ...]:
    since = today - timedelta(weeks=SPAN_WEEKS * SPANS)
    mine: dict[AthleteId, list[Evidence]] = defaultdict(list)
    for item in evidence:
        if item.on > since and item.athlete in people:
            mine[item.athlete].append(item)
    found = []
    for athlete, items in mine.items():
        lifts = _progress(items, today, catalogue)
        if lifts:
            keys = {line.lift.key for line in lifts}
            months = _months([item for item in items if item.lift in keys], today)
            found.append(SquadProgress(people[athlete], months[-1][1] - 1, len(lifts), months))
    return tuple(sorted(found, key=lambda line: -line.change_ratio))


def _months(items: Sequence[Evidence], today: date) -> tuple[tuple[date, float], ...]:
    """The level of all lifts together at the end of each four weeks, against the first."""
    ends = [today - timedelta(weeks=SPAN_WEEKS * back) for back in range(SPANS)][::-1]
    spans = [SPANS - 1 - (today - item.on).days // (7 * SPAN_WEEKS) for item in items]
    first = min(spans)
    path = level_path(
        [span - first for span in spans], [item.lift for item in items],
        [item.implied_ln for item in items], SPANS - first,
    )  # fmt: skip
    levels = [0.0] * first + list(path)
    return tuple((on, math.exp(level)) for on, level in zip(ends, levels, strict=True))


def _middle_of(progress: Sequence[SquadProgress]) -> tuple[tuple[date, float], ...]:
    """The squad's middle at each of the athletes' days."""
    columns = zip(*(line.months for line in progress), strict=True)
    return tuple((column[0][0], median(ratio for _, ratio in column)) for column in columns)


def _records(
    people: Mapping[AthleteId, Athlete], evidence: Iterable[Evidence], catalogue: Catalogue
) -> tuple[LiftRecord, ...]:
    best: dict[tuple[LiftKey, Sex], Evidence] = {}
    for item in evidence:
        is_lifted = item.kind in (EvidenceKind.TEST, EvidenceKind.CONTEST) and item.reps == 1
        if not is_lifted or item.athlete not in people:
            continue
        key = (item.lift, people[item.athlete].sex)
        if key not in best or item.load > best[key].load:
            best[key] = item
    found = [
        LiftRecord(catalogue[lift], sex, people[item.athlete], item.load, item.on, item.kind)
        for (lift, sex), item in best.items()
    ]
    return tuple(sorted(found, key=lambda line: (line.lift.name, line.sex.value)))


def _stale(
    people: Mapping[AthleteId, Athlete],
    evidence: Iterable[Evidence],
    today: date,
    catalogue: Catalogue,
) -> tuple[tuple[Athlete, Lift, int], ...]:
    latest: dict[tuple[AthleteId, LiftKey], date] = {}
    for item in evidence:
        if item.is_single and item.athlete in people:
            pair = (item.athlete, item.lift)
            latest[pair] = max(item.on, latest.get(pair, item.on))
    found = [
        (people[athlete], catalogue[lift], (today - on).days // 7)
        for (athlete, lift), on in latest.items()
        if (today - on).days >= 84
    ]
    return tuple(sorted(found, key=lambda line: -line[2]))
