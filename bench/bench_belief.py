"""Beliefs: speed, honest intervals, and a held-out lift against the best single formula."""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from statistics import median

import numpy as np

from bench.figure import Figure
from heftwright.domain.catalogue import LiftKey, load_catalogue
from heftwright.domain.mass import Mass
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength.belief import believe, pooled_data
from heftwright.domain.strength.calibration import (
    MakeBelieveSquad,
    Maker,
    World,
    coverage,
)
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.domain.strength.noise import BeliefSettings
from heftwright.domain.strength.pooling import PooledData
from heftwright.domain.strength.proposals import propose
from heftwright.domain.strength.ratios import load_ratios
from heftwright.domain.strength.spread import Spread

PREFIXES = ("belief_",)
TODAY = date(2026, 11, 25)
SETTINGS = BeliefSettings()
_BASELINE_POINTS = 2
_MEET = (LiftKey("back_squat"), LiftKey("bench"), LiftKey("deadlift"))


def figures() -> Iterator[Figure]:
    """The belief figures."""
    yield _update()
    yield _after_class()
    for size, squads in ((5, 300), (20, 100), (150, 40)):
        yield from _covered(size, squads)
    yield from _misjudged()
    yield from _held_out()


def _maker(world: World | None = None) -> Maker:
    return Maker(load_catalogue(), load_ratios(), SETTINGS, TODAY, world or World())


def _update() -> Figure:
    """150 athletes × all lifts with a max, against dense algebra over the same grid."""
    squad = _maker(World(lifts_seen=(8, 16))).squad(np.random.default_rng(40), 150)
    ours, naive = [], []
    for _ in range(5):
        start = time.perf_counter()
        believe(squad.evidence, squad.athletes, load_catalogue(), TODAY, settings=SETTINGS)
        ours.append(1000 * (time.perf_counter() - start))
        if len(naive) < _BASELINE_POINTS:
            naive.append(1000 * _dense_point(squad))
    points = SETTINGS.grid_points**3
    return Figure(
        "belief_update_150x40_ms",
        median(ours),
        "ms",
        "lower",
        bound=200,
        baseline=median(naive) * points,
        note=f"{len(squad.evidence)} pieces of evidence, {len(squad.true_kg)} beliefs; baseline: "
        f"dense algebra, measured on {_BASELINE_POINTS} of {points} grid points and multiplied",
    )


def _after_class() -> Figure:
    """40 athletes of 150 log a top set each: their beliefs anew, and what is proposed to the coach.

    The beliefs before the class are at hand, as they are when a page has shown them.
    """
    squad = _maker(World(lifts_seen=(8, 16))).squad(np.random.default_rng(40), 150)
    believed = partial(believe, athletes=squad.athletes, catalogue=load_catalogue(), today=TODAY)
    before = believed(squad.evidence, settings=SETTINGS)
    new = [_top_set(squad, athlete) for athlete in squad.athletes[:40]]
    times = []
    for _ in range(5):
        start = time.perf_counter()
        propose(before, believed((*squad.evidence, *new), settings=SETTINGS), new)
        times.append(1000 * (time.perf_counter() - start))
    tracemalloc.start()
    found = propose(before, believed((*squad.evidence, *new), settings=SETTINGS), new)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return Figure(
        "belief_after_class_40_ms",
        median(times),
        "ms",
        "lower",
        bound=200,
        peak_mb=peak / 1e6,
        note=f"{len(found)} proposals; evidence of {len(squad.evidence)} + 40; memory: the most "
        "that Python and NumPy held at once, in a run of its own",
    )


def _top_set(squad: MakeBelieveSquad, athlete: Athlete) -> Evidence:
    truth = squad.true_kg[athlete.id, _MEET[0]]
    load = Mass.nearest_kg(truth * 0.9)
    return Evidence(athlete.id, _MEET[0], EvidenceKind.REP_SET, load, TODAY, 3, 1.0)


def _dense_point(squad: MakeBelieveSquad) -> float:
    """Seconds for one grid point by plain matrices over athletes × lifts."""
    data = pooled_data(squad.evidence, squad.athletes, load_catalogue(), TODAY, settings=SETTINGS)
    start = time.perf_counter()
    _dense(data, SETTINGS.spread)
    return time.perf_counter() - start


def _dense(data: PooledData, spread: Spread) -> tuple[np.ndarray, np.ndarray]:
    athletes, lifts = data.seen_ln.shape
    who, what = (index.ravel() for index in np.indices((athletes, lifts)))
    design = np.zeros((who.size, lifts + data.covariates.shape[2]))
    design[np.arange(who.size), what] = 1
    design[:, lifts:] = data.covariates.reshape(who.size, -1)
    family = np.argmax(data.family, axis=1)[what]
    seen = np.isfinite(data.noise_var.ravel())
    same = who[:, None] == who[None, seen]
    loaded = design @ data.prior_factor
    prior = loaded @ loaded[seen].T + spread.athlete**2 * same
    prior += spread.family**2 * (same & (family[:, None] == family[None, seen]))
    prior += spread.lift**2 * (np.arange(who.size)[:, None] == np.flatnonzero(seen)[None, :])
    total = prior[seen] + np.diag(data.noise_var.ravel()[seen])
    half = np.linalg.solve(np.linalg.cholesky(total), prior.T)
    y = (data.seen_ln - data.offset_ln).ravel()[seen]
    return prior @ np.linalg.solve(total, y), np.square(half).sum(axis=0)


def _covered(size: int, squads: int) -> Iterator[Figure]:
    """Share of true maxes inside the 90 % interval; the squad, not the max, is the unit."""
    shares = _shares(size, squads, World())
    value, doubt = _mean(shares["all"])
    name = f"belief_coverage90_{size}"
    said = f"{squads} simulated squads, ± {doubt:.1f}; truth drawn from the model's own prior"
    yield Figure(name, value, "%", "higher", bound=87, note=f"{said}; see {name}_off")
    yield Figure(
        f"{name}_off", abs(value - 90), "%", "lower", bound=3,
        note="how far off 90 %, above or below: too wide is wrong as well",
    )  # fmt: skip
    for part in ("own evidence", "through others"):
        value, doubt = _mean(shares[part])
        yield Figure(
            f"{name}_{part.replace(' ', '_')}", abs(value - 90), "%", "lower", bound=3,
            note=f"how far off 90 % among maxes with {part} only: {value:.1f} ± {doubt:.1f} %",
        )  # fmt: skip


def _shares(size: int, squads: int, world: World) -> dict[str, list[float]]:
    """Per squad, the share held [%]: of all maxes, with own evidence, and through others only."""
    rng = np.random.default_rng(1000 + size)
    maker = _maker(world)
    shares: dict[str, list[float]] = {"all": [], "own evidence": [], "through others": []}
    for _ in range(squads):
        squad = maker.squad(rng, size)
        beliefs = believe(squad.evidence, squad.athletes, maker.catalogue, TODAY, settings=SETTINGS)
        own = {(item.athlete, item.lift) for item in squad.evidence}
        parts = {
            "all": squad.true_kg,
            "own evidence": {pair: kg for pair, kg in squad.true_kg.items() if pair in own},
            "through others": {pair: kg for pair, kg in squad.true_kg.items() if pair not in own},
        }
        for part, true_kg in parts.items():
            held, of = coverage(beliefs, true_kg)
            shares[part].append(100 * held / of)
    return shares


def _mean(shares: Sequence[float]) -> tuple[float, float]:
    return float(np.mean(shares)), float(np.std(shares) / np.sqrt(len(shares)))


def _misjudged() -> Iterator[Figure]:
    """The same with squads that the prior misjudges; no target, shown for honesty."""
    arms = {
        "narrow": World(spread=Spread(0.10, 0.04, 0.03)),
        "wide": World(spread=Spread(0.25, 0.14, 0.09)),
        "noisy": World(noise_factor=1.5),
    }
    for name, world in arms.items():
        value, doubt = _mean(_shares(20, 40, world)["all"])
        note = f"misspecified, ± {doubt:.1f}: {world}"
        yield Figure(f"belief_coverage90_20_{name}", value, "%", "higher", note=note)


def _held_out() -> Iterator[Figure]:
    """A contest lift estimated from the other two, against every single formula."""
    rng = np.random.default_rng(77)
    ours: dict[LiftKey, list[float]] = {lift: [] for lift in _MEET}
    formulas: dict[LiftKey, dict[str, list[float]]] = {lift: {} for lift in _MEET}
    for _ in range(8):
        squad = _maker().squad(rng, 40)
        results = _results(squad, rng)
        for athlete in squad.athletes[:12]:
            for lift in _MEET:
                truth = np.log(squad.true_kg[athlete.id, lift])
                rest = [e for e in results if (e.athlete, e.lift) != (athlete.id, lift)]
                beliefs = believe(rest, squad.athletes, load_catalogue(), TODAY, settings=SETTINGS)
                ours[lift].append(float(np.log(beliefs[athlete.id, lift].median_kg) - truth))
                for name, value in _formulas(athlete, lift, rest, squad.athletes).items():
                    formulas[lift].setdefault(name, []).append(float(value - truth))
    yield _held_out_ratio(ours, formulas)
    for lift in _MEET:
        each = {name: _rmse(errors) for name, errors in formulas[lift].items()}
        said = ", ".join(f"{name} {value:.3f}" for name, value in sorted(each.items()))
        yield Figure(
            f"belief_holdout_{lift}_rmse", _rmse(ours[lift]), "log", "lower",
            bound=min(each.values()), baseline=min(each.values()),
            note=f"must beat every single formula: {said}",
        )  # fmt: skip


def _held_out_ratio(
    ours: Mapping[LiftKey, Sequence[float]],
    formulas: Mapping[LiftKey, Mapping[str, Sequence[float]]],
) -> Figure:
    """All lifts together, against the formula that is best in hindsight for each."""
    best = [min(formulas[lift].values(), key=_rmse) for lift in _MEET]
    baseline = _rmse([error for errors in best for error in errors])
    mine = [error for errors in ours.values() for error in errors]
    return Figure(
        "belief_holdout_rmse_ratio", _rmse(mine) / baseline, "–", "lower", bound=1.0,
        note=f"SIMULATED results (no open meet data here): {len(mine)} held-out lifts of 8 squads "
        f"of 40, log RMSE {_rmse(mine):.3f} against {baseline:.3f} of the formula that is best in "
        "hindsight for each lift (squad ratio to one other lift, or body mass)",
    )  # fmt: skip


def _results(squad: MakeBelieveSquad, rng: np.random.Generator) -> list[Evidence]:
    """Everybody's three contest lifts on one day, each with a test's noise."""
    blank = Evidence(
        squad.athletes[0].id, _MEET[0], EvidenceKind.CONTEST, squad.evidence[0].load, TODAY
    )
    found = []
    for athlete in squad.athletes:
        for lift in _MEET:
            noise = np.exp(rng.normal(0, SETTINGS.test_sd))
            load = type(blank.load).nearest_kg(squad.true_kg[athlete.id, lift] * noise)
            found.append(replace(blank, athlete=athlete.id, lift=lift, load=load))
    return found


def _formulas(
    athlete: Athlete, lift: LiftKey, rest: Sequence[Evidence], athletes: Sequence[Athlete]
) -> Mapping[str, float]:
    """ln kg by each single formula: squad's mean ratio to one other lift; body mass by sex."""
    seen = {(e.athlete, e.lift): e.implied_ln for e in rest}
    found = {}
    for other in _MEET:
        if other != lift:
            ratios = [
                seen[a.id, lift] - seen[a.id, other]
                for a in athletes
                if a.id != athlete.id and a.sex == athlete.sex
            ]
            found[f"ratio to {other}"] = seen[athlete.id, other] + float(np.mean(ratios))
    found["body mass"] = _by_mass(athlete, lift, seen, athletes)
    return found


def _by_mass(
    athlete: Athlete,
    lift: LiftKey,
    seen: Mapping[tuple[AthleteId, LiftKey], float],
    athletes: Sequence[Athlete],
) -> float:
    rows = [a for a in athletes if a.id != athlete.id]
    design = np.array([[1.0, a.sex is Sex.WOMAN, _ln_mass(a)] for a in rows])
    y = np.array([seen[a.id, lift] for a in rows])
    beta = np.linalg.lstsq(design, y, rcond=None)[0]
    return float(np.array([1.0, athlete.sex is Sex.WOMAN, _ln_mass(athlete)]) @ beta)


def _ln_mass(athlete: Athlete) -> float:
    assert athlete.body_mass is not None
    return float(np.log(athlete.body_mass.in_kg))


def _rmse(errors: Sequence[float]) -> float:
    return float(np.sqrt(np.mean(np.square(errors))))
