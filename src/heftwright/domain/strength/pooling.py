"""The Gaussian linear mixed model behind the beliefs, in closed form.

On the log scale a max is  offset + x'β + athlete + athlete×family + athlete×lift,  seen through
noise of known variance. The three variances are not estimated but averaged over: the marginal
likelihood on a grid, with a prior, weighs every combination, so few data give wide answers.
Effects are nested, so that inverses reduce to sums by family and athlete (Woodbury); no matrix
grows with the squad. With a flat prior on β the marginal likelihood is the REML criterion, which
the tests check against a general statistics package.

References
----------
Patterson & Thompson 1971 (REML); Harville 1974 (its Bayesian reading); Searle, Casella &
McCulloch, *Variance Components* (nested inverses). From memory, checked numerically in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heftwright.domain.strength.spread import Spread

Floats = NDArray[np.float64]
_NEGLIGIBLE = 0.004


@dataclass(frozen=True, slots=True)
class PooledData:
    """What is known, as arrays: athletes × lifts.

    Parameters
    ----------
    seen_ln : array (athletes, lifts)
        Own evidence as one number [ln kg]; any finite value where there is none.
    noise_var : array (athletes, lifts)
        Its variance; inf where there is no evidence.
    offset_ln : array (athletes, lifts)
        Prior mean [ln kg].
    covariates : array (athletes, lifts, k)
        What shifts the level besides the lift itself.
    family : array (lifts, families)
        1 where the lift belongs to the family.
    prior_factor : array (lifts + k, lifts + k)
        Factor C of the prior covariance C C' of (lift levels, covariate slopes).
    """

    seen_ln: Floats
    noise_var: Floats
    offset_ln: Floats
    covariates: Floats
    family: Floats
    prior_factor: Floats


@dataclass(frozen=True, slots=True)
class Pooled:
    """The answer.

    Parameters
    ----------
    mean_ln, var_ln : array (athletes, lifts)
        Posterior of every max [ln kg].
    level : array (lifts + k,)
        Posterior mean of β.
    spreads : tuple of Spread
        The grid.
    weights : array
        Posterior weight of each, summing to 1.
    """

    mean_ln: Floats
    var_ln: Floats
    level: Floats
    spreads: tuple[Spread, ...]
    weights: Floats


@dataclass(frozen=True, slots=True)
class _Sums:
    """Sums that depend on the athlete × lift variance only. Last column: the evidence."""

    lift_var: float
    precision: Floats  # (A, L)
    by_family: Floats  # (A, F)
    sums: Floats  # (A, F, p + 1)
    gram: Floats  # (p + 1, p + 1)
    log_det: float


def log_marginal(data: PooledData, spread: Spread) -> float:
    """Log marginal likelihood of the evidence up to a constant (REML for a flat prior)."""
    return _fit_grid(data, ((spread, 0.0),))[0].log_marginal


def pool(data: PooledData, grid: tuple[tuple[Spread, float], ...]) -> Pooled:
    """Posterior of all maxes, averaged over the grid.

    Parameters
    ----------
    data : PooledData
        What is known.
    grid : tuple of (Spread, float)
        Spreads with log prior weights.
    """
    fits = _fit_grid(data, grid)
    logs = np.array([fit.log_marginal + prior for fit, (_, prior) in zip(fits, grid, strict=True)])
    weights = np.exp(logs - logs.max())
    weights[weights < _NEGLIGIBLE * weights.max()] = 0.0
    weights /= weights.sum()
    mean, square, level = np.zeros_like(data.offset_ln), np.zeros_like(data.offset_ln), 0.0
    for fit, weight in zip(fits, weights, strict=True):
        if weight > 0.0:
            one_mean, one_var = fit.predict()
            mean += weight * one_mean
            square += weight * (one_var + one_mean**2)
            level = level + weight * fit.level
    spreads = tuple(spread for spread, _ in grid)
    return Pooled(
        mean + data.offset_ln, square - mean**2, np.asarray(level, dtype=float), spreads, weights
    )


def _fit_grid(data: PooledData, grid: tuple[tuple[Spread, float], ...]) -> list[_Fit]:
    """One fit a point; sums that points share are computed once, which saves most of the time."""
    by_lift = {sd: _sums(data, sd) for sd in {spread.lift for spread, _ in grid}}
    pairs = {(spread.lift, spread.family) for spread, _ in grid}
    by_family = {pair: _family_sums(by_lift[pair[0]], pair[1]) for pair in pairs}
    return [_Fit(data, by_family[spread.lift, spread.family], spread) for spread, _ in grid]


def _sums(data: PooledData, lift_sd: float) -> _Sums:
    precision = 1.0 / (lift_sd**2 + data.noise_var)
    residual = np.where(np.isfinite(data.noise_var), data.seen_ln - data.offset_ln, 0.0)
    extra = np.concatenate([data.covariates, residual[:, :, None]], axis=2)
    weighted = precision[:, :, None] * extra
    lifts = precision.shape[1]
    size = lifts + extra.shape[2]
    sums = np.empty((precision.shape[0], data.family.shape[1], size))
    sums[:, :, :lifts] = precision[:, None, :] * data.family.T[None, :, :]
    sums[:, :, lifts:] = np.einsum("lf,alk->afk", data.family, weighted)
    gram = np.zeros((size, size))
    gram[range(lifts), range(lifts)] = precision.sum(axis=0)
    gram[:lifts, lifts:] = weighted.sum(axis=0)
    gram[lifts:, :lifts] = gram[:lifts, lifts:].T
    flat = (-1, extra.shape[2])
    gram[lifts:, lifts:] = extra.reshape(flat).T @ weighted.reshape(flat)
    seen = precision > 0.0
    log_det = -float(np.log(precision[seen]).sum())
    return _Sums(lift_sd**2, precision, precision @ data.family, sums, gram, log_det)


@dataclass(frozen=True, slots=True)
class _FamilySums:
    """What is left once families are integrated out, for one lift and family spread."""

    sums: _Sums
    shrink: Floats  # (A, F)
    gain: Floats  # (A, F)
    by_athlete: Floats  # (A,)
    athlete_sums: Floats  # (A, p + 1)
    gram: Floats
    log_det: float


def _family_sums(sums: _Sums, family_sd: float) -> _FamilySums:
    shrink = 1.0 / (1.0 + family_sd**2 * sums.by_family)
    gain = family_sd**2 * shrink
    flat = sums.sums.reshape(-1, sums.sums.shape[2])
    return _FamilySums(
        sums,
        shrink,
        gain,
        (sums.by_family * shrink).sum(axis=1),
        np.einsum("af,afp->ap", shrink, sums.sums),
        sums.gram - flat.T @ (gain.reshape(-1, 1) * flat),
        sums.log_det - float(np.log(shrink).sum()),
    )


class _Fit:
    """One spread: likelihood now, prediction when its weight earns it."""

    def __init__(self, data: PooledData, family: _FamilySums, spread: Spread) -> None:
        self._data, self._sums, self._spread = data, family.sums, spread
        self._family_shrink, self._family_gain = family.shrink, family.gain
        self._athlete_sums = family.athlete_sums
        signal = 1.0 + spread.athlete**2 * family.by_athlete
        self._athlete_gain = spread.athlete**2 / signal
        weighted = self._athlete_gain[:, None] * self._athlete_sums
        gram = family.gram - self._athlete_sums.T @ weighted
        self._chol, self.level, explained, prior_log_det = _solve_levels(gram, data.prior_factor)
        log_det = family.log_det + float(np.log(signal).sum()) + prior_log_det
        self.log_marginal = -0.5 * (log_det + float(gram[-1, -1]) - explained)

    def predict(self) -> tuple[Floats, Floats]:
        """Mean less offset and variance of every max, given this spread.

        A max moves by  own·u + keep·(gain_family·s + gain_athlete·shrink·t)  when the evidence
        moves by u, where s and t are its sums by family and athlete.
        """
        sums = self._sums
        own = sums.lift_var * sums.precision
        keep = 1.0 - own
        to_lifts = self._data.family.T
        family_gain = self._family_gain @ to_lifts
        athlete_gain = self._athlete_gain[:, None] * (self._family_shrink @ to_lifts)
        known = own * self._residual() + keep * (
            family_gain * (sums.sums[:, :, -1] @ to_lifts)
            + athlete_gain * self._athlete_sums[:, -1:]
        )
        variance = keep * self._left_open(own, family_gain, athlete_gain)
        factor = np.linalg.solve(self._chol, self._data.prior_factor.T).T
        through = self._through_levels(
            np.concatenate([factor, self.level[:, None]], axis=1), keep, family_gain, athlete_gain
        )
        return known + through[:, :, -1], variance + np.square(through[:, :, :-1]).sum(axis=2)

    def _residual(self) -> Floats:
        data = self._data
        return np.where(np.isfinite(data.noise_var), data.seen_ln - data.offset_ln, 0.0)

    def _left_open(self, own: Floats, family_gain: Floats, athlete_gain: Floats) -> Floats:
        """Prior variance less what the athlete's evidence explains, before ``keep``."""
        sums, spread = self._sums, self._spread
        to_lifts = self._data.family.T
        in_family = spread.family**2 * (sums.by_family @ to_lifts) + own
        shared = (sums.by_family * self._family_shrink).sum(axis=1)[:, None]
        family_signal = spread.athlete**2 * (sums.by_family @ to_lifts) + in_family
        athlete_signal = spread.athlete**2 * shared + (self._family_shrink @ to_lifts) * in_family
        total = spread.athlete**2 + spread.family**2 + sums.lift_var
        open_var: Floats = total - family_gain * family_signal - athlete_gain * athlete_signal
        return open_var

    def _through_levels(
        self, factor: Floats, keep: Floats, family_gain: Floats, athlete_gain: Floats
    ) -> Floats:
        """How a max still moves with β (times ``factor``) after its evidence had its say."""
        data, sums = self._data, self._sums
        lifts = data.family.shape[0]
        by_family = sums.sums[:, :, :-1] @ factor
        by_athlete = self._athlete_sums[:, :-1] @ factor
        moved: Floats = factor[None, :lifts] + data.covariates @ factor[lifts:]
        moved -= family_gain[:, :, None] * by_family[:, np.argmax(data.family, axis=1)]
        moved -= athlete_gain[:, :, None] * by_athlete[:, None]
        moved *= keep[:, :, None]
        return moved


def _solve_levels(gram: Floats, prior_factor: Floats) -> tuple[Floats, Floats, float, float]:
    """Cholesky factor, posterior mean, explained square and log determinant of the levels."""
    inner = prior_factor.T @ gram[:-1, :-1] @ prior_factor
    inner[np.diag_indices_from(inner)] += 1.0
    chol = np.asarray(np.linalg.cholesky(inner), dtype=np.float64)
    # A general solve of 50 rows is quicker here than loading SciPy for a triangular one.
    half = np.linalg.solve(chol, prior_factor.T @ gram[:-1, -1])
    level = prior_factor @ np.linalg.solve(chol.T, half)
    log_det = 2.0 * float(np.log(np.diag(chol)).sum())
    return chol, level, float(half @ half), log_det
