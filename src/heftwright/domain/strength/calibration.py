"""Are the ± honest? Make-believe squads with known maxes, and how often the intervals hold them.

Calibration is a feature: a gym can ask how far its settings keep their word. Everything random
comes from the generator that is passed in; same seed, same squads.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator

from heftwright.domain.catalogue import Catalogue, LiftKey
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength.axes import FAMILIES, UPPER_FAMILIES, family_of
from heftwright.domain.strength.belief import Beliefs
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.domain.strength.formulas import implied_max_ratio
from heftwright.domain.strength.noise import BeliefSettings, speaks_for_deadlift
from heftwright.domain.strength.ratios import RatioTable
from heftwright.domain.strength.spread import Spread

_KINDS = (
    EvidenceKind.TEST, EvidenceKind.REP_SET, EvidenceKind.CONTEST, EvidenceKind.BANDED_SINGLE,
    EvidenceKind.BAR_SPEED,
)  # fmt: skip
_KIND_SHARES = (0.45, 0.35, 0.10, 0.05, 0.05)


@dataclass(frozen=True, slots=True)
class World:
    """How make-believe squads differ from what the beliefs assume.

    Parameters
    ----------
    lifts_seen : (int, int)
        Fewest and most lifts with evidence an athlete.
    mean_age_weeks : float
        Of the evidence, exponential, at most a year.
    noise_factor : float
        True noise over assumed noise: 1 is the well-specified arm.
    spread : Spread or None
        The true spreads; None draws them from the prior.
    """

    lifts_seen: tuple[int, int] = (2, 10)
    mean_age_weeks: float = 10.0
    noise_factor: float = 1.0
    spread: Spread | None = None


@dataclass(frozen=True, slots=True)
class MakeBelieveSquad:
    """A squad whose true maxes are known.

    Parameters
    ----------
    athletes : tuple of Athlete
        The squad.
    evidence : tuple of Evidence
        What a coach would have on record.
    true_kg : Mapping
        (athlete, lift) -> today's true max [kg].
    """

    athletes: tuple[Athlete, ...]
    evidence: tuple[Evidence, ...]
    true_kg: Mapping[tuple[AthleteId, LiftKey], float]


@dataclass(frozen=True, slots=True)
class Maker:
    """Makes squads.

    Parameters
    ----------
    catalogue, ratios, settings
        What the beliefs are built with; the truth is drawn from their prior.
    today : date
        The day of the truth.
    world : World
        Where the truth departs from the assumptions.
    """

    catalogue: Catalogue
    ratios: RatioTable
    settings: BeliefSettings
    today: date
    world: World = World()

    def squad(self, rng: Generator, size: int) -> MakeBelieveSquad:
        """One squad of ``size`` athletes."""
        lifts = self.ratios.lifts_with_max(self.catalogue)
        athletes = tuple(_athlete(rng, number) for number in range(1, size + 1))
        truth = self._truth(rng, athletes, lifts)
        evidence: list[Evidence] = []
        for row, athlete in enumerate(athletes):
            low, high = self.world.lifts_seen
            count = min(int(rng.integers(low, high + 1)), len(lifts))
            for column in rng.choice(len(lifts), size=count, replace=False):
                lift = lifts[int(column)]
                evidence += self._evidence(rng, athlete, lift, truth[row, column])
        known = {
            (athlete.id, lift): math.exp(truth[row, column])
            for row, athlete in enumerate(athletes)
            for column, lift in enumerate(lifts)
        }
        return MakeBelieveSquad(athletes, tuple(evidence), known)

    def _truth(
        self, rng: Generator, athletes: Sequence[Athlete], lifts: Sequence[LiftKey]
    ) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        spread = self.world.spread or _draw_spread(rng, self.settings)
        family = [FAMILIES.index(family_of(self.catalogue[lift])) for lift in lifts]
        upper = np.array([FAMILIES[index] in UPPER_FAMILIES for index in family], dtype=float)
        level = self._levels(rng, lifts)
        table = self.ratios
        woman = rng.normal((table.woman_lower_log, table.woman_upper_log), table.woman_log_sd)
        exponent = rng.normal(table.exponent, table.exponent_sd)
        found = np.empty((len(athletes), len(lifts)))
        for row, athlete in enumerate(athletes):
            sex = int(athlete.sex is Sex.WOMAN)
            assert athlete.body_mass is not None
            mass = math.log(athlete.body_mass.in_kg / table.centre_kg)
            shift = sex * (woman[0] * (1 - upper) + woman[1] * upper) + exponent * mass
            own = rng.normal(0, spread.athlete)
            by_family = rng.normal(0, spread.family, len(FAMILIES))[family]
            by_lift = rng.normal(0, spread.lift, len(lifts))
            found[row] = level[sex] + shift + own + by_family + by_lift
        return found

    def _levels(
        self, rng: Generator, lifts: Sequence[LiftKey]
    ) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        """True levels of men and women: the prior's, moved as far as the prior doubts them."""
        table = self.ratios
        steps = sorted({row.lift: row for lift in lifts for row in table.chain(lift)}.items())
        moved = {name: rng.normal(0, row.log_sd) for name, row in steps}
        root = rng.normal(0, table.root_log_sd)
        return np.array(
            [
                [
                    table.log_level(lift, sex)
                    + root
                    + sum(moved[row.lift] for row in table.chain(lift))
                    for lift in lifts
                ]
                for sex in (Sex.MAN, Sex.WOMAN)
            ]
        )

    def _evidence(
        self, rng: Generator, athlete: Athlete, lift: LiftKey, true_ln: float
    ) -> list[Evidence]:
        """One to three pieces, the max walking back in time between them."""
        ages = np.sort(
            np.minimum(rng.exponential(7 * self.world.mean_age_weeks, int(rng.integers(1, 4))), 365)
        ).astype(int)
        found, value, before = [], true_ln, 0
        for age in ages:
            value += rng.normal(0, self.settings.week_sd * math.sqrt((age - before) / 7))
            before = int(age)
            found.append(self._one(rng, athlete.id, lift, value, before))
        return found

    def _one(
        self, rng: Generator, athlete: AthleteId, lift: LiftKey, value_ln: float, age_days: int
    ) -> Evidence:
        kind = _KINDS[int(rng.choice(len(_KINDS), p=_KIND_SHARES))]
        is_set = kind is EvidenceKind.REP_SET
        reps = int(rng.integers(2, 9)) if is_set else 1
        reserve = float(rng.integers(0, 3)) if is_set else 0.0
        on = self.today - timedelta(days=age_days)
        blank = Evidence(athlete, lift, kind, Mass.kg(100), on, reps, reserve)
        is_deadlift = speaks_for_deadlift(self.catalogue[lift].pattern)
        sd = self.settings.noise_sd(blank, is_deadlift=is_deadlift) * self.world.noise_factor
        seen = math.exp(value_ln + rng.normal(0, sd)) / implied_max_ratio(blank.possible_reps)
        return replace(blank, load=Mass.nearest_kg(min(seen, 999.0)))


def _athlete(rng: Generator, number: int) -> Athlete:
    sex = Sex.WOMAN if rng.random() < 0.35 else Sex.MAN
    centre = 74.0 if sex is Sex.WOMAN else 102.0
    mass = Mass.nearest_kg(float(np.clip(rng.normal(centre, 0.16 * centre), 48, 170)), "0.1")
    key = AthleteId(f"make-believe-{number}")
    return Athlete(key, f"Make-believe {number}", number, sex, body_mass=mass)


def _draw_spread(rng: Generator, settings: BeliefSettings) -> Spread:
    factor = np.exp(np.clip(rng.normal(0, 1, 3), -2, 2) * settings.spread_log_sd)
    centre = settings.spread
    return Spread(*(factor * (centre.athlete, centre.family, centre.lift)).tolist())


def coverage(
    beliefs: Beliefs, true_kg: Mapping[tuple[AthleteId, LiftKey], float], level: float = 0.90
) -> tuple[int, int]:
    """How many true maxes lie within the central interval of this level, and of how many."""
    tail = (1 - level) / 2
    held = 0
    for pair, kg in true_kg.items():
        belief = beliefs[pair]
        held += belief.quantile_kg(tail) <= kg <= belief.quantile_kg(1 - tail)
    return held, len(true_kg)
