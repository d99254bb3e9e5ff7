"""Guards: 2,000 seeded errors, and how rarely a clean season is interrupted."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.random import Generator

from bench.figure import Figure
from heftwright.domain.catalogue import Lift, LiftKey, MaxEffortScheme, Resistance, load_catalogue
from heftwright.domain.dose import Scheme, ramp, scheme_for, template_for
from heftwright.domain.dose.guards import OPEN_TOP_RATIO, Guard, Wanted, guards_on, guards_on_entry
from heftwright.domain.dose.health_guards import guards_on_body_mass, guards_on_pain
from heftwright.domain.dose.zones import load_zone_tables
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, Restriction
from heftwright.domain.strength import Beliefs, believe
from heftwright.domain.strength.calibration import Maker, World
from heftwright.domain.strength.noise import BeliefSettings
from heftwright.domain.strength.one_max import Belief
from heftwright.domain.strength.ratios import load_ratios

PREFIXES = ("guards_", "alerts_")
TODAY = date(2026, 11, 25)
CATALOGUE = load_catalogue()
ZONES = load_zone_tables()["B"]
Found = tuple[Guard, ...]


def figures() -> Iterator[Figure]:
    """The guard figures."""
    rng = np.random.default_rng(2000)
    gym = _gym(rng)
    yield _stopped("guards_hard_stopped", HARD, gym, rng, 100)
    yield _stopped("guards_soft_flagged", SOFT, gym, rng, 80)
    yield _clean_season(gym, rng)


@dataclass(frozen=True, slots=True)
class Gym:
    """A make-believe squad of 40 grown-ups with its beliefs and true maxes."""

    athletes: tuple[Athlete, ...]
    beliefs: Beliefs
    true_kg: dict[tuple[AthleteId, LiftKey], float]

    def tested(self, rng: Generator) -> tuple[Athlete, Belief]:
        """Somebody and a freshly tested lift of theirs."""
        while True:
            athlete = self.athletes[int(rng.integers(len(self.athletes)))]
            lift = self.beliefs.lifts[int(rng.integers(len(self.beliefs.lifts)))]
            belief = self.beliefs[athlete.id, lift]
            if belief.may_target_top(TODAY) and CATALOGUE[lift].bar_path.value != "none":
                return athlete, belief


def _gym(rng: Generator) -> Gym:
    settings = BeliefSettings()
    maker = Maker(CATALOGUE, load_ratios(), settings, TODAY, World(lifts_seen=(8, 16)))
    squad = maker.squad(rng, 40)
    athletes = tuple(replace(athlete, born_on=date(1992, 5, 1)) for athlete in squad.athletes)
    beliefs = believe(squad.evidence, athletes, CATALOGUE, TODAY, settings=settings)
    return Gym(athletes, beliefs, dict(squad.true_kg))


def _stopped(
    name: str,
    classes: dict[str, Callable[[Gym, Generator], Found]],
    gym: Gym,
    rng: Generator,
    bound: float,
) -> Figure:
    """Share of seeded errors met by a guard: hard ones stopped, soft ones at least flagged."""
    met: Counter[str] = Counter()
    each = 1000 // len(classes)
    for kind, seed in classes.items():
        for _ in range(each):
            found = seed(gym, rng)
            hit = any(guard.is_hard for guard in found) if bound == 100 else bool(found)
            met[kind] += hit
    total = each * len(classes)
    value = 100 * sum(met.values()) / total
    words = ", ".join(f"{kind} {100 * met[kind] / each:.0f} %" for kind in classes)
    return Figure(name, value, "%", "higher", bound=bound, note=f"{total} seeded errors: {words}")


def _entry(kg: float, unit: MassUnit) -> EnteredMass:
    return EnteredMass(min(round(kg * MassUnit.KG.ticks / unit.ticks * 1000), 9_999_999), unit)


def _today_kg(gym: Gym, belief: Belief, rng: Generator) -> float:
    """What the athlete lifts in a test today: the true max with a test's noise."""
    lift = load_ratios().max_key(belief.lift)
    return gym.true_kg[belief.athlete, lift] * float(np.exp(rng.normal(0, 0.02)))


def _wrong_unit(gym: Gym, rng: Generator) -> Found:
    _, belief = gym.tested(rng)
    unit, other = (MassUnit.KG, MassUnit.LB) if rng.random() < 0.5 else (MassUnit.LB, MassUnit.KG)
    entered = _entry(_today_kg(gym, belief, rng), unit)
    return guards_on_entry(EnteredMass(entered.thousandths, other), belief)


def _out_by_ten(gym: Gym, rng: Generator) -> Found:
    _, belief = gym.tested(rng)
    factor = 10.0 if rng.random() < 0.5 else 0.1
    return guards_on_entry(_entry(_today_kg(gym, belief, rng) * factor, MassUnit.KG), belief)


def _single(belief: Belief, share: float = 0.97) -> Wanted:
    kg = share * belief.median_kg
    lift = CATALOGUE[belief.lift]
    return Wanted(lift, Scheme(1, 1), kg, kg, MaxEffortScheme.SINGLE)


def _restricted(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    hurt = replace(athlete, restrictions=(Restriction(belief.lift, TODAY - timedelta(days=9)),))
    return guards_on(_speed(belief, rng), hurt, belief, TODAY)


def _minor_single(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    born = None if rng.random() < 0.5 else date(2010, 1, 1)
    young = replace(athlete, born_on=born, guardian="A. Parent", supervisor="Head coach")
    return guards_on(_single(belief, float(rng.uniform(0.7, 1.02))), young, belief, TODAY)


def _minor_alone(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    young = replace(athlete, born_on=date(2010, 1, 1), guardian="A. Parent", supervisor="")
    return guards_on(_speed(belief, rng), young, belief, TODAY)


def _lay_off(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    back = TODAY - timedelta(days=int(rng.integers(0, 14)))
    away = replace(
        athlete, back_on=back, away_since=back - timedelta(days=int(rng.integers(14, 90)))
    )
    return guards_on(_single(belief), away, belief, TODAY)


def _stale_top(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    assert belief.last_test is not None
    test = replace(belief.last_test, on=TODAY - timedelta(days=int(rng.integers(182, 700))))
    stale = replace(belief, last_test=test, age_days=test.age_days(TODAY))
    return guards_on(_single(belief), athlete, stale, TODAY)


def _far_too_heavy(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    wanted = _speed(belief, rng)
    slip = float(rng.uniform(1.11, 2.5)) * belief.median_kg
    return guards_on(replace(wanted, top_kg=slip), athlete, belief, TODAY)


HARD: dict[str, Callable[[Gym, Generator], Found]] = {
    "wrong unit": _wrong_unit,
    "out by ten": _out_by_ten,
    "restricted lift": _restricted,
    "minor's single": _minor_single,
    "minor without supervisor": _minor_alone,
    "max effort after a lay-off": _lay_off,
    "top target on a stale max": _stale_top,
    "top above 110 %": _far_too_heavy,
}


def _speed(belief: Belief, rng: Generator) -> Wanted:
    """A usual dynamic-effort prescription, rounded down."""
    lift = CATALOGUE[belief.lift]
    bands = bool(rng.random() < 0.6)
    template = template_for(Resistance.BANDS if bands else Resistance.STRAIGHT, is_lower=True)
    step = template.steps[int(rng.integers(3))]
    kg, _ = belief.prescribing_kg(TODAY)
    bar = math.floor(kg * step.bar_ratio / 2.5) * 2.5
    top = bar + kg * step.top_ratio * float(rng.uniform(0.85, 1.15))
    scheme = scheme_for(step, int(rng.integers(3)), is_lower=True)
    return Wanted(lift, scheme, bar, top, wanted_kg=kg * step.bar_ratio)


def _swapped_digits(gym: Gym, rng: Generator) -> Found:
    """Two neighbouring digits of the entered max change places (a change, or drawn again)."""
    while True:
        _, belief = gym.tested(rng)
        digits = list(f"{_today_kg(gym, belief, rng):.0f}")
        at = int(rng.integers(len(digits) - 1))
        slip = digits.copy()
        slip[at], slip[at + 1] = slip[at + 1], slip[at]
        # Below 10 kg of change the slip is inside what a good or bad day does.
        if abs(int("".join(slip)) - int("".join(digits))) >= 10 and int("".join(slip)) > 0:
            return guards_on_entry(_entry(float("".join(slip)), MassUnit.KG), belief)


def _jump_up(gym: Gym, rng: Generator) -> Found:
    _, belief = gym.tested(rng)
    kg = belief.median_kg * float(rng.uniform(1.10, 1.35))
    return guards_on_entry(_entry(kg, MassUnit.KG), belief)


def _jump_down(gym: Gym, rng: Generator) -> Found:
    _, belief = gym.tested(rng)
    kg = belief.median_kg * float(rng.uniform(0.50, 0.75))
    return guards_on_entry(_entry(kg, MassUnit.KG), belief)


def _another_lift(gym: Gym, rng: Generator) -> Found:
    """The result of another lift of the athlete's, entered under this one."""
    _, belief = gym.tested(rng)
    lifts = [lift for lift in gym.beliefs.lifts if lift != belief.lift]
    other = lifts[int(rng.integers(len(lifts)))]
    kg = gym.beliefs[belief.athlete, other].median_kg
    return guards_on_entry(_entry(kg, MassUnit.KG), belief)


def _too_many(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    wanted = _speed(belief, rng)
    sets = math.ceil(32 / wanted.scheme.reps)
    return guards_on(
        replace(wanted, scheme=Scheme(sets, wanted.scheme.reps)), athlete, belief, TODAY, ZONES
    )


def _rounded_up(gym: Gym, rng: Generator) -> Found:
    athlete, belief = gym.tested(rng)
    wanted = _speed(belief, rng)
    up = wanted.bar_kg + 2.5 * int(rng.integers(1, 4))
    return guards_on(
        replace(wanted, bar_kg=up, top_kg=max(up, wanted.top_kg)), athlete, belief, TODAY
    )


def _painful(gym: Gym, rng: Generator) -> Found:
    del gym
    return guards_on_pain(int(rng.integers(4, 11)))


def _fast_loss(gym: Gym, rng: Generator) -> Found:
    athlete, _ = gym.tested(rng)
    assert athlete.body_mass is not None
    days = int(rng.integers(5, 22))
    share = 1 - float(rng.uniform(0.016, 0.04)) * days / 7
    now = Mass.nearest_kg(athlete.body_mass.in_kg * share, "0.1")
    return guards_on_body_mass(athlete.body_mass, now, days)


SOFT: dict[str, Callable[[Gym, Generator], Found]] = {
    "digits swapped": _swapped_digits,
    "jump of 10 to 35 % up": _jump_up,
    "25 to 50 % down": _jump_down,
    "another lift's max": _another_lift,
    "too many reps": _too_many,
    "rounded up": _rounded_up,
    "pain 4 and more": _painful,
    "fast loss": _fast_loss,
}


def _clean_season(gym: Gym, rng: Generator) -> Figure:
    """Interrupting alerts in 16 weeks of a season that keeps the rules, new tests included."""
    interrupts: Counter[str] = Counter()
    prescriptions = 0
    for week in range(16):
        for athlete in gym.athletes:
            for wanted, belief in _week(gym, athlete, rng):
                prescriptions += 1
                found = guards_on(wanted, athlete, belief, TODAY, ZONES)
                interrupts.update(guard.kind.value for guard in found if guard.interrupts)
            if week % 4 == 3:
                interrupts.update(_honest_test(gym, athlete, rng))
    value = 100 * sum(interrupts.values()) / prescriptions
    words = ", ".join(f"{kind} {count}" for kind, count in interrupts.most_common()) or "none"
    return Figure(
        "alerts_per_100_prescriptions",
        value,
        "–",
        "lower",
        bound=0.5,
        note=f"{prescriptions} simulated prescriptions of 40 athletes over 16 weeks by the rules, "
        f"and a true test entered every 4 weeks: {words}",
    )


def _week(gym: Gym, athlete: Athlete, rng: Generator) -> Iterator[tuple[Wanted, Belief]]:
    """Two dynamic-effort and two max-effort prescriptions, tested lift or not."""
    for is_max in (False, True, False, True):
        lift = _some_lift(gym, rng, is_max=is_max)
        belief = gym.beliefs[athlete.id, lift.key]
        if not is_max:
            yield _speed(belief, rng), belief
            continue
        schemes = [scheme for scheme in MaxEffortScheme if scheme not in lift.never_as]
        scheme = schemes[int(rng.integers(len(schemes)))]
        kg, _ = belief.prescribing_kg(TODAY)
        if belief.is_tested and not belief.may_target_top(TODAY):
            kg *= OPEN_TOP_RATIO  # no automatic top target on a stale max: the steps stop light
        top = ramp(kg, scheme, 2.5, min(20.0, 0.2 * kg), may_record=False).top_kg
        yield Wanted(lift, Scheme(1, scheme.top_reps), top, top, scheme), belief


def _some_lift(gym: Gym, rng: Generator, *, is_max: bool) -> Lift:
    while True:
        lift = CATALOGUE[gym.beliefs.lifts[int(rng.integers(len(gym.beliefs.lifts)))]]
        if any(slot.is_max_effort if is_max else slot.is_dynamic for slot in lift.slots):
            return lift


def _honest_test(gym: Gym, athlete: Athlete, rng: Generator) -> list[str]:
    lift = _some_lift(gym, rng, is_max=True)
    belief = gym.beliefs[athlete.id, lift.key]
    entered = _entry(_today_kg(gym, belief, rng), MassUnit.KG)
    return [f"entry {guard.kind.value}" for guard in guards_on_entry(entered, belief)]
