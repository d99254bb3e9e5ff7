"""Beliefs about every athlete and lift, from all evidence of the squad together.

The arrays are loaded inside the functions that compute: a command that only names a scheme or a
max should not wait for NumPy.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from heftwright.domain.catalogue import Catalogue, LiftKey
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength.axes import Axes, Own, axes_of, family_of, own_evidence
from heftwright.domain.strength.evidence import Evidence
from heftwright.domain.strength.noise import BeliefSettings, BeliefSettingsError
from heftwright.domain.strength.one_max import (
    Belief,
    BeliefError,
    NoBeliefError,
    Source,
    SourceKind,
    ago,
)
from heftwright.domain.strength.ratios import RatioTable, load_ratios
from heftwright.domain.strength.spread import spread_grid

if TYPE_CHECKING:
    from heftwright.domain.strength.pooling import Pooled, PooledData

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


class Beliefs(Mapping[tuple[AthleteId, LiftKey], Belief]):
    """All beliefs of a squad on a day; each is put into words only when asked for."""

    def __init__(
        self,
        axes: Axes,
        own: Mapping[tuple[AthleteId, LiftKey], Own],
        pooled: Pooled,
        today: date,
        settings: BeliefSettings,
    ) -> None:
        self._axes, self._own, self._pooled, self.today = axes, own, pooled, today
        self._settings = settings
        self._made: dict[tuple[AthleteId, LiftKey], Belief] = {}
        self._own_lifts: defaultdict[AthleteId, list[tuple[LiftKey, Own]]] = defaultdict(list)
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
        table = self._axes.ratios
        one, other = table.chain(table.max_key(lift)), table.chain(table.max_key(of))
        rows = [row for row in (*one, *other) if (row in one) != (row in other)]
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

    def _said(self, item: Evidence, unit: MassUnit | None = None) -> str:
        """For example "from a rep set 62.5 kg × 5, 2 in reserve, 8 days ago → 75 ± 3 kg"."""
        said = f"{item.shown} {item.set_words()}, {ago(item.age_days(self.today))}"
        if item.is_single:
            return said
        is_deadlift = self._axes.is_deadlift(item.lift)
        note = " (reps underestimate deadlifts)" if is_deadlift and item.reps > 1 else ""
        kg = item.implied_kg
        spread = max(1.0, kg * self._settings.noise_sd(item, is_deadlift=is_deadlift))
        middle, name = Mass.nearest_kg(kg).shown(unit or MassUnit.KG, 0).split(" ")
        around = Mass.nearest_kg(spread).shown(unit or MassUnit.KG, 0).split(" ")[0]
        return f"{said} → {middle} ± {around} {name}{note}"

    def says(self, item: Evidence, unit: MassUnit) -> str:
        """What a piece of evidence speaks for, in words, as under a max on the screen."""
        return self._said(item, unit)


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
    from heftwright.domain.strength.arrays import arrays_of
    from heftwright.domain.strength.pooling import pool

    settings = settings or BeliefSettings()
    axes = axes_of(athletes, catalogue, ratios or load_ratios())
    own = own_evidence(evidence, axes, catalogue, today, settings)
    data = arrays_of(athletes, axes, own)
    grid = spread_grid(settings.spread, settings.spread_log_sd, settings.grid_points)
    return Beliefs(axes, own, pool(data, grid), today, settings)


def pooled_data(
    evidence: Sequence[Evidence],
    athletes: Sequence[Athlete],
    catalogue: Catalogue,
    today: date,
    *,
    settings: BeliefSettings | None = None,
) -> PooledData:
    """The arrays that ``believe`` pools, for checks against other ways of computing."""
    from heftwright.domain.strength.arrays import arrays_of

    axes = axes_of(athletes, catalogue, load_ratios())
    own = own_evidence(evidence, axes, catalogue, today, settings or BeliefSettings())
    return arrays_of(athletes, axes, own)
