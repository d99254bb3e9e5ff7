"""Beliefs about every athlete and lift, from all evidence of the squad together."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from heftwright.domain.catalogue import Catalogue, Lift, LiftKey, Pattern
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength.evidence import Evidence
from heftwright.domain.strength.noise import (
    BeliefSettings,
    BeliefSettingsError,
    seen_today,
    speaks_for_deadlift,
    usable,
)
from heftwright.domain.strength.one_max import (
    Belief,
    BeliefError,
    NoBeliefError,
    Source,
    SourceKind,
    ago,
)
from heftwright.domain.strength.pooling import Floats, Pooled, PooledData, pool, spread_grid
from heftwright.domain.strength.ratios import RatioTable, load_ratios

__all__ = [
    "Belief",
    "BeliefError",
    "BeliefSettings",
    "BeliefSettingsError",
    "Beliefs",
    "NoBeliefError",
    "Source",
    "SourceKind",
    "believe",
    "family_of",
]

FAMILIES = ("squat", "deadlift", "overhead", "bench", "implement")
UPPER_FAMILIES = ("overhead", "bench")
_FAMILY_OF_PATTERN = {
    Pattern.SQUAT: "squat",
    Pattern.HINGE: "squat",
    Pattern.DEADLIFT: "deadlift",
    Pattern.OVERHEAD: "overhead",
    Pattern.BENCH: "bench",
    Pattern.CARRY: "implement",
    Pattern.LOAD: "implement",
    Pattern.HOLD: "implement",
}


def family_of(lift: Lift) -> str:
    """The family in which an athlete's strengths and weaknesses go together."""
    return _FAMILY_OF_PATTERN[lift.pattern]


@dataclass(frozen=True, slots=True)
class _Own:
    """Evidence that counts, of one athlete in one lift, and what it comes to today."""

    items: tuple[Evidence, ...]
    mean_ln: float
    variance: float

    @property
    def last_test(self) -> Evidence | None:
        singles = [item for item in self.items if item.is_single]
        return max(singles, key=lambda item: item.on) if singles else None

    @property
    def latest(self) -> Evidence:
        return max(self.items, key=lambda item: item.on)


class Beliefs(Mapping[tuple[AthleteId, LiftKey], Belief]):
    """All beliefs of a squad on a day; each is put into words only when asked for."""

    def __init__(
        self,
        axes: _Axes,
        own: Mapping[tuple[AthleteId, LiftKey], _Own],
        pooled: Pooled,
        today: date,
    ) -> None:
        self._axes, self._own, self._pooled, self.today = axes, own, pooled, today
        self._made: dict[tuple[AthleteId, LiftKey], Belief] = {}
        self._own_lifts: defaultdict[AthleteId, list[tuple[LiftKey, _Own]]] = defaultdict(list)
        for (athlete, lift), item in own.items():
            self._own_lifts[athlete].append((lift, item))
        self._seen_in = Counter(lift for _, lift in own)

    @property
    def athletes(self) -> tuple[AthleteId, ...]:
        """Whose maxes are known."""
        return tuple(self._axes.athlete_row)

    @property
    def lifts(self) -> tuple[LiftKey, ...]:
        """In which lifts; event lifts that share another lift's max included."""
        return self._axes.shown_lifts

    def __getitem__(self, key: tuple[AthleteId, LiftKey]) -> Belief:
        if key not in self._made:
            self._made[key] = self._make(*key)
        return self._made[key]

    def __contains__(self, key: object) -> bool:
        return isinstance(key, tuple) and len(key) == 2 and self._axes.knows(*key)

    def __iter__(self) -> Iterator[tuple[AthleteId, LiftKey]]:
        return ((athlete, lift) for athlete in self.athletes for lift in self.lifts)

    def __len__(self) -> int:
        return len(self.athletes) * len(self.lifts)

    def squad_ratio(self, lift: LiftKey, of: LiftKey) -> float:
        """The squad's own ratio of two lifts for men, prior and evidence together."""
        lift, of = self._axes.ratios.max_key(lift), self._axes.ratios.max_key(of)
        levels = self._axes.ratios.log_level(lift, Sex.MAN) - self._axes.ratios.log_level(
            of, Sex.MAN
        )
        shift = self._pooled.level
        return math.exp(levels + shift[self._axes.lift_column[lift]]
                        - shift[self._axes.lift_column[of]])  # fmt: skip

    def athlete_ratio(self, athlete: AthleteId, lift: LiftKey, of: LiftKey) -> tuple[float, str]:
        """This athlete's ratio of two lifts with its provenance.

        Both tested: the athlete's own two tests. Otherwise the squad's, with the source, n and
        sex of the prior ratios it started from (checks.md X9: never applied silently).
        """
        tests = [self[athlete, key].last_test for key in (lift, of)]
        if tests[0] is not None and tests[1] is not None:
            ratio = tests[0].load.in_kg / tests[1].load.in_kg
            return ratio, f"own tests: {tests[0].load} and {tests[1].load}"
        rows = self._axes.ratios.chain(self._axes.ratios.max_key(lift))
        return self.squad_ratio(lift, of), "; ".join(row.words for row in rows)

    def _make(self, athlete: AthleteId, lift: LiftKey) -> Belief:
        row, column = self._axes.place(athlete, lift)
        own = self._own.get((athlete, self._axes.ratios.max_key(lift)))
        test = own.last_test if own else None
        return Belief(
            athlete,
            lift,
            math.exp(self._pooled.mean_ln[row, column]),
            math.sqrt(self._pooled.var_ln[row, column]),
            test,
            None if test is None else test.age_days(self.today),
            self._sources(athlete, lift),
        )

    def _sources(self, athlete: AthleteId, lift: LiftKey) -> tuple[Source, ...]:
        key = self._axes.ratios.max_key(lift)
        own = self._own.get((athlete, key))
        if own is not None:
            latest = (own.last_test, own.latest) if own.last_test else (own.latest,)
            words = dict.fromkeys(self._said(item) for item in latest if item is not None)
            return tuple(Source(SourceKind.OWN, text) for text in words)
        others = self._other_lifts(athlete, key)
        seen = f"{self._seen_in[key]} of {len(self.athletes)} athletes"
        squad = f"{seen} have evidence in this lift"
        ratios = [Source(SourceKind.RATIO, row.words) for row in self._axes.ratios.chain(key)]
        return (*others, Source(SourceKind.SQUAD, squad), *ratios)

    def _other_lifts(self, athlete: AthleteId, key: LiftKey) -> list[Source]:
        """The athlete's own other lifts, the same family first, at most two."""
        family = self._axes.family_index(key)
        found = [
            (self._axes.family_index(other) != family, own.variance, other, own)
            for other, own in self._own_lifts[athlete]
        ]
        found.sort(key=lambda item: item[:3])
        return [
            Source(
                SourceKind.OTHER_LIFT,
                f"{self._axes.names[other]} {self._said(own.last_test or own.latest)}, squad ratio "
                f"{self.squad_ratio(key, other):.2f}",
            )
            for _, _, other, own in found[:2]
        ]

    def _said(self, item: Evidence) -> str:
        age = ago(item.age_days(self.today))
        reps = "" if item.reps == 1 else f" × {item.reps}"
        return f"{item.kind.shown} {item.load}{reps}, {age}"


@dataclass(frozen=True, slots=True)
class _Axes:
    """Rows, columns and what is known of them before any evidence."""

    athlete_row: Mapping[AthleteId, int]
    lift_column: Mapping[LiftKey, int]
    shown_lifts: tuple[LiftKey, ...]
    family: Floats
    ratios: RatioTable
    names: Mapping[LiftKey, str]

    def knows(self, athlete: AthleteId, lift: LiftKey) -> bool:
        return athlete in self.athlete_row and lift in self.shown_lifts

    def family_index(self, lift: LiftKey) -> int:
        return int(np.argmax(self.family[self.lift_column[lift]]))

    def place(self, athlete: AthleteId, lift: LiftKey) -> tuple[int, int]:
        if not self.knows(athlete, lift):
            raise NoBeliefError(
                f"There is no max of “{lift}” for athlete “{athlete}”: either the athlete is not "
                "in this squad or the lift has no max."
            )
        return self.athlete_row[athlete], self.lift_column[self.ratios.max_key(lift)]


def believe(
    evidence: Sequence[Evidence],
    athletes: Sequence[Athlete],
    catalogue: Catalogue,
    today: date,
    *,
    settings: BeliefSettings | None = None,
    ratios: RatioTable | None = None,
) -> Beliefs:
    """Believe something about every athlete in every lift that has a max.

    Parameters
    ----------
    evidence : sequence of Evidence
        Accepted by the coach; items after ``today`` or about others are left aside.
    athletes : sequence of Athlete
        The squad.
    catalogue : Catalogue
        The gym's lifts.
    today : date
        The day to believe for: evidence ages.
    settings : BeliefSettings or None
        Noise and prior spreads.
    ratios : RatioTable or None
        Prior lift ratios; those that ship with Heftwright by default.

    Returns
    -------
    Beliefs
        Mapping of (athlete, lift) to belief.
    """
    settings = settings or BeliefSettings()
    axes = _axes(athletes, catalogue, ratios or load_ratios())
    own = _own_evidence(evidence, axes, catalogue, today, settings)
    data = _data(athletes, axes, own)
    grid = spread_grid(settings.spread, settings.spread_log_sd, settings.grid_points)
    return Beliefs(axes, own, pool(data, grid), today)


def pooled_data(
    evidence: Sequence[Evidence],
    athletes: Sequence[Athlete],
    catalogue: Catalogue,
    today: date,
    *,
    settings: BeliefSettings | None = None,
) -> PooledData:
    """The arrays that ``believe`` pools, for checks against other ways of computing."""
    axes = _axes(athletes, catalogue, load_ratios())
    own = _own_evidence(evidence, axes, catalogue, today, settings or BeliefSettings())
    return _data(athletes, axes, own)


def _axes(athletes: Sequence[Athlete], catalogue: Catalogue, ratios: RatioTable) -> _Axes:
    lifts = ratios.lifts_with_max(catalogue)
    family = np.zeros((len(lifts), len(FAMILIES)))
    for column, key in enumerate(lifts):
        family[column, FAMILIES.index(family_of(catalogue[key]))] = 1.0
    shared = tuple(k for k in catalogue if ratios.same_max_as.get(k, LiftKey("")) in lifts)
    return _Axes(
        {athlete.id: row for row, athlete in enumerate(athletes)},
        {key: column for column, key in enumerate(lifts)},
        lifts + shared,
        family,
        ratios,
        {key: catalogue[key].name for key in lifts},
    )


def _own_evidence(
    evidence: Sequence[Evidence],
    axes: _Axes,
    catalogue: Catalogue,
    today: date,
    settings: BeliefSettings,
) -> dict[tuple[AthleteId, LiftKey], _Own]:
    by_pair: defaultdict[tuple[AthleteId, LiftKey], list[Evidence]] = defaultdict(list)
    for item in evidence:
        if item.on <= today and axes.knows(item.athlete, item.lift):
            by_pair[item.athlete, axes.ratios.max_key(item.lift)].append(item)
    found = {}
    for (athlete, lift), items in by_pair.items():
        is_deadlift = speaks_for_deadlift(catalogue[lift].pattern)
        counted = usable(items, is_deadlift=is_deadlift)
        mean, variance = seen_today(counted, today, settings, is_deadlift=is_deadlift)
        found[athlete, lift] = _Own(counted, mean, variance)
    return found


def _data(
    athletes: Sequence[Athlete], axes: _Axes, own: Mapping[tuple[AthleteId, LiftKey], _Own]
) -> PooledData:
    shape = (len(axes.athlete_row), len(axes.lift_column))
    seen, noise = np.zeros(shape), np.full(shape, np.inf)
    for (athlete, lift), item in own.items():
        place = axes.place(athlete, lift)
        seen[place], noise[place] = item.mean_ln, item.variance
    covariates, offset = _levels(athletes, axes)
    return PooledData(seen, noise, offset, covariates, axes.family, _prior_factor(axes))


def _levels(athletes: Sequence[Athlete], axes: _Axes) -> tuple[Floats, Floats]:
    """Covariates (woman lower, woman upper, ln body mass) and the prior mean of every max."""
    table = axes.ratios
    woman = np.array([athlete.sex is Sex.WOMAN for athlete in athletes], dtype=float)
    upper = axes.family @ np.array([name in UPPER_FAMILIES for name in FAMILIES], dtype=float)
    mass = _ln_body_mass(athletes, table.centre_kg)
    covariates = np.stack(
        [
            np.outer(woman, 1.0 - upper),
            np.outer(woman, upper),
            np.repeat(mass[:, None], len(upper), axis=1),
        ],
        axis=2,
    )
    by_sex = np.array(
        [[table.log_level(k, sex) for k in axes.lift_column] for sex in (Sex.MAN, Sex.WOMAN)]
    )
    offset = by_sex[woman.astype(int)] + covariates @ np.array(
        [table.woman_lower_log, table.woman_upper_log, table.exponent]
    )
    return covariates, offset


def _ln_body_mass(athletes: Sequence[Athlete], centre_kg: float) -> Floats:
    """Log body mass over the centre; unknown: the squad's mean for that sex, else the centre."""
    known: dict[Sex, list[float]] = {sex: [] for sex in Sex}
    for athlete in athletes:
        if athlete.body_mass:
            known[athlete.sex].append(math.log(athlete.body_mass.in_kg / centre_kg))
    middle = {sex: float(np.mean(values)) if values else 0.0 for sex, values in known.items()}
    return np.array(
        [
            math.log(athlete.body_mass.in_kg / centre_kg)
            if athlete.body_mass
            else middle[athlete.sex]
            for athlete in athletes
        ]
    )


def _prior_factor(axes: _Axes) -> Floats:
    """Factor of the prior covariance: lifts hang from the root through their ratios' doubts."""
    table, lifts = axes.ratios, axes.lift_column
    steps = sorted({row.lift for key in lifts for row in table.chain(key)})
    factor = np.zeros((len(lifts) + 3, len(steps) + 4))
    for key, line in lifts.items():
        factor[line, 0] = table.root_log_sd
        for row in table.chain(key):
            factor[line, 1 + steps.index(row.lift)] = row.log_sd
    for extra, sd in enumerate((table.woman_log_sd, table.woman_log_sd, table.exponent_sd)):
        factor[len(lifts) + extra, 1 + len(steps) + extra] = sd
    return factor
