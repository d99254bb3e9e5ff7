"""The squad as arrays for the pooled model: evidence, prior levels, covariates."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength.axes import FAMILIES, UPPER_FAMILIES, Axes, Own
from heftwright.domain.strength.pooling import Floats, PooledData


def arrays_of(
    athletes: Sequence[Athlete], axes: Axes, own: Mapping[tuple[AthleteId, LiftKey], Own]
) -> PooledData:
    shape = (len(axes.athlete_row), len(axes.lift_column))
    seen, noise = np.zeros(shape), np.full(shape, np.inf)
    for (athlete, lift), item in own.items():
        place = axes.place(athlete, lift)
        seen[place], noise[place] = item.mean_ln, item.variance
    family = np.eye(len(FAMILIES))[list(axes.family_of_lift)]
    covariates, offset = _levels(athletes, axes, family)
    return PooledData(seen, noise, offset, covariates, family, _prior_factor(axes))


def _levels(athletes: Sequence[Athlete], axes: Axes, family: Floats) -> tuple[Floats, Floats]:
    """Covariates (woman lower, woman upper, ln body mass) and the prior mean of every max."""
    table = axes.ratios
    woman = np.array([athlete.sex is Sex.WOMAN for athlete in athletes], dtype=float)
    upper = family @ np.array([name in UPPER_FAMILIES for name in FAMILIES], dtype=float)
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


def _prior_factor(axes: Axes) -> Floats:
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
