"""The closed-form mixed model against dense algebra and a general statistics package's REML."""

import warnings

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from statsmodels.tools.sm_exceptions import ConvergenceWarning

from heftwright.domain.strength.pooling import PooledData, log_marginal, pool
from heftwright.domain.strength.spread import Spread, spread_grid

FAMILIES = np.array([[1, 0], [1, 0], [1, 0], [0, 1], [0, 1]], dtype=float)


def some_data(seed, athletes=6, seen_share=0.6, noise=0.02, prior_sd=0.3, spread=None):
    rng = np.random.default_rng(seed)
    spread = spread or Spread(0.15, 0.08, 0.05)
    lifts, families = FAMILIES.shape
    covariates = rng.normal(size=(athletes, 1, 1)) * np.ones((1, lifts, 1))
    truth = (
        rng.normal(0, spread.athlete, (athletes, 1))
        + rng.normal(0, spread.family, (athletes, families)) @ FAMILIES.T
        + rng.normal(0, spread.lift, (athletes, lifts))
        + rng.normal(0, 0.2, lifts)
        + 0.3 * covariates[:, :, 0]
    )
    noise_var = np.where(
        rng.random((athletes, lifts)) < seen_share,
        np.square(noise * rng.uniform(0.5, 3, (athletes, lifts))),
        np.inf,
    )
    seen = truth + np.sqrt(np.where(np.isfinite(noise_var), noise_var, 0)) * rng.normal(
        size=truth.shape
    )
    factor = prior_sd * np.eye(lifts + 1)
    return PooledData(seen, noise_var, np.zeros_like(truth), covariates, FAMILIES, factor), truth


def dense(data, spread):
    """The same model by plain matrices: posterior mean, variance, log marginal density."""
    athletes, lifts = data.seen_ln.shape
    who, what = (index.ravel() for index in np.indices((athletes, lifts)))
    design = np.zeros((who.size, lifts + data.covariates.shape[2]))
    design[np.arange(who.size), what] = 1
    design[:, lifts:] = data.covariates.reshape(who.size, -1)
    family = np.argmax(data.family, axis=1)[what]
    same = who[:, None] == who[None, :]
    prior = (
        design @ data.prior_factor @ data.prior_factor.T @ design.T
        + spread.athlete**2 * same
        + spread.family**2 * (same & (family[:, None] == family[None, :]))
        + spread.lift**2 * np.eye(who.size)
    )
    noise = data.noise_var.ravel()
    seen = np.isfinite(noise)
    y = (data.seen_ln - data.offset_ln).ravel()[seen]
    total = prior[np.ix_(seen, seen)] + np.diag(noise[seen])
    gain = np.linalg.solve(total, prior[seen]).T
    mean = gain @ y + data.offset_ln.ravel()
    variance = np.diag(prior) - np.einsum("ij,ji->i", gain, prior[seen])
    log_det = np.linalg.slogdet(total)[1]
    density = -0.5 * (log_det + y @ np.linalg.solve(total, y))
    shape = (athletes, lifts)
    return mean.reshape(shape), variance.reshape(shape), density


@settings(max_examples=40)
@given(
    st.integers(0, 10_000), st.integers(1, 8), st.floats(0, 1),
    st.floats(0.03, 0.4), st.floats(0.02, 0.2), st.floats(0.01, 0.1),
)  # fmt: skip
def test_the_closed_form_equals_dense_algebra(seed, athletes, share, a, f, s):
    data, _ = some_data(seed, athletes, share)
    spread = Spread(a, f, s)
    found = pool(data, ((spread, 0.0),))
    mean, variance, density = dense(data, spread)
    assert found.mean_ln == pytest.approx(mean, abs=1e-8)
    assert found.var_ln == pytest.approx(variance, abs=1e-9, rel=1e-6)
    assert log_marginal(data, spread) == pytest.approx(density, abs=1e-6)


def test_a_grid_answers_with_the_mixture_of_its_points():
    data, _ = some_data(3)
    grid = spread_grid(Spread(0.15, 0.08, 0.05), 0.5, points=3)
    found = pool(data, grid)
    kept = found.weights > 0
    logs = np.array([dense(data, spread)[2] + prior for spread, prior in grid])
    weights = np.where(kept, np.exp(logs - logs.max()), 0)
    weights /= weights.sum()
    parts = [dense(data, spread) for spread, _ in grid]
    mean = sum(w * part[0] for w, part in zip(weights, parts, strict=True))
    square = sum(w * (part[1] + part[0] ** 2) for w, part in zip(weights, parts, strict=True))
    assert found.weights == pytest.approx(weights, abs=1e-9)
    assert found.mean_ln == pytest.approx(mean, abs=1e-9)
    assert found.var_ln == pytest.approx(square - mean**2, rel=1e-6)


def test_the_grid_is_centred_and_weighted_by_its_log_normal_prior():
    grid = dict(spread_grid(Spread(0.15, 0.08, 0.05), 0.5, points=5))
    assert len(grid) == 125
    assert max(grid, key=grid.get) == Spread(0.15, 0.08, 0.05)
    assert grid[max(grid, key=lambda spread: spread.athlete + spread.family)] <= -4
    assert spread_grid(Spread(0.15, 0.08, 0.05), 0.5, points=1) == (
        (Spread(0.15, 0.08, 0.05), 0.0),
    )


def _balanced(seed, athletes):
    """Two tests a lift with the same noise, so that REML can tell lift spread from noise."""
    spread = Spread(0.18, 0.09, 0.06)
    data, _ = some_data(seed, athletes, seen_share=1.0, spread=spread, prior_sd=1e3)
    noise_var = 0.03**2 / 2
    rng = np.random.default_rng(seed + 1)
    truth = data.seen_ln
    pairs = truth[:, :, None] + rng.normal(0, 0.03, (*truth.shape, 2))
    collapsed = PooledData(
        pairs.mean(axis=2), np.full(truth.shape, noise_var), data.offset_ln,
        data.covariates, data.family, data.prior_factor,
    )  # fmt: skip
    return collapsed, pairs


@pytest.mark.parametrize(("seed", "athletes"), [(1, 25), (2, 40)])
def test_with_a_flat_prior_the_best_spreads_are_the_packages_reml(seed, athletes):
    # Reference: statsmodels MixedLM (REML), random athlete intercept and family variance component
    # on one value a lift; its residual variance is lift spread² + noise² in our terms.
    data, _ = _balanced(seed, athletes)
    rows = [
        {"y": data.seen_ln[a, v], "athlete": a, "lift": str(v), "family": str(int(v >= 3)),
         "mass": data.covariates[a, v, 0]}
        for a in range(athletes)
        for v in range(5)
    ]  # fmt: skip
    model = smf.mixedlm(
        "y ~ 0 + lift + mass", pd.DataFrame(rows), groups="athlete", re_formula="1",
        vc_formula={"family": "0 + C(family)"},
    )  # fmt: skip
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)
        fit = model.fit(reml=True, method=["lbfgs"])
    reml = {
        "athlete": fit.cov_re.iloc[0, 0], "family": fit.vcomp[0], "lift": fit.scale - 0.03**2 / 2,
    }  # fmt: skip

    def loss(logs):
        return -log_marginal(data, Spread(*np.exp(logs)))

    best = minimize(loss, np.log([0.15, 0.08, 0.05]), method="Nelder-Mead",
                    options={"xatol": 1e-6, "fatol": 1e-9, "maxiter": 2000})  # fmt: skip
    ours = dict(zip(reml, np.square(np.exp(best.x)), strict=True))
    assert ours == pytest.approx(reml, rel=1e-3)

    best_spread = Spread(*np.exp(best.x))
    found = pool(data, ((best_spread, 0.0),))
    assert found.level == pytest.approx(fit.fe_params.to_numpy(), abs=2e-4)
    # Profile of the criterion: differences between two spreads agree too, not only the optimum.
    other = Spread(best_spread.athlete * 1.3, best_spread.family, best_spread.lift)
    assert log_marginal(data, best_spread) > log_marginal(data, other)


def test_more_evidence_never_widens_a_belief_at_a_given_spread():
    spread = Spread(0.15, 0.08, 0.05)
    data, _ = some_data(5, seen_share=0.5)
    less_noise = PooledData(
        data.seen_ln, data.noise_var / 2, data.offset_ln, data.covariates, data.family,
        data.prior_factor,
    )  # fmt: skip
    before, after = pool(data, ((spread, 0.0),)), pool(less_noise, ((spread, 0.0),))
    assert np.all(after.var_ln <= before.var_ln + 1e-12)


def test_without_evidence_the_prior_comes_back():
    data, _ = some_data(7, athletes=2, seen_share=0.0)
    found = pool(data, ((Spread(0.15, 0.08, 0.05), 0.0),))
    assert found.mean_ln == pytest.approx(np.zeros((2, 5)))
    expected = 0.15**2 + 0.08**2 + 0.05**2 + 0.3**2 * (1 + data.covariates[:, :, 0] ** 2)
    assert found.var_ln == pytest.approx(expected)
