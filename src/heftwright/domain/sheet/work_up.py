"""From a ramp's wanted loads to the steps that the floor is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from heftwright.domain.dose.ramp import RampError, RampStep, ramp
from heftwright.domain.dose.schemes import TAPER_VOLUME
from heftwright.domain.floor.work_up import WorkUpStep
from heftwright.domain.mass import Mass
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.strength.formulas import share_of_max

WARM_UP_LOW, WARM_UP_HIGH = 0.94, 1.02
"""A warm-up need not be exact: as in dose.ramp."""
ATTEMPT_LOW = 0.015
"""An attempt may be this much of the top set below what was asked for, never above."""
FINE_STEP_KG = 0.5
HEAVY_START_RATIO = 0.60
"""From here a first load is no warm-up; a work-up starts near 40 %: common practice, no source."""


def steps_of(work: WantedWork, top: Mass, empty_bar: Mass) -> tuple[WorkUpStep, ...]:
    """The steps of one athlete's work-up, lightest first, the planned top load last.

    Warming up with the empty bar is not a turn on the platform. A top set that the ramp cannot
    build up to stands alone.

    Parameters
    ----------
    work : WantedWork
        With its max-effort scheme; without one every set is a step at the same load.
    top : Mass
        The planned top load.
    empty_bar : Mass
        Bar and collars.
    """
    last = WorkUpStep(top, top, top, work.scheme.reps)
    if work.max_effort is None:
        return (last,) * work.scheme.sets
    share = share_of_max(work.max_effort.top_reps)
    log_sd = work.belief.log_sd if work.belief else 0.0
    try:
        made = ramp(
            top.in_kg / share, work.max_effort, FINE_STEP_KG, empty_bar.in_kg, log_sd=log_sd,
            may_record=False,
        )  # fmt: skip
    except RampError:
        return (last,)
    below = [*map(_warm_up, made.warmups[1:]), *_attempts(made.attempts[:-1], top)]
    below = [step for step in below if step.high < top]
    return (*(map(_eased, below) if work.is_taper else below), last)


def _eased(step: WorkUpStep) -> WorkUpStep:
    """A taper cuts repetitions, never a step: the jumps stay as small as they were."""
    return replace(step, reps=max(1, round(step.reps * TAPER_VOLUME)))


def heavy_start(work: WantedWork, first: Mass) -> tuple[str, ...]:
    """That a work-up starts heavy because the platform makes nothing lighter; empty if not.

    Parameters
    ----------
    work : WantedWork
        With its max-effort scheme; without one there is no work-up.
    first : Mass
        The first load of it.
    """
    share = first.in_kg / work.max_kg
    if work.max_effort is None or share < HEAVY_START_RATIO:
        return ()
    said = f"The lightest load here is {100 * share:.0f} % of the max"
    return (f"{said}: warm up on a lighter bar first.",)


def _warm_up(step: RampStep) -> WorkUpStep:
    low, high = WARM_UP_LOW * step.load_kg, WARM_UP_HIGH * step.load_kg
    return WorkUpStep(_kg(step.load_kg), _kg(low), _kg(high), step.reps)


def _attempts(steps: Sequence[RampStep], top: Mass) -> list[WorkUpStep]:
    slack_kg = ATTEMPT_LOW * top.in_kg
    return [
        WorkUpStep(_kg(step.load_kg), _kg(step.load_kg - slack_kg), _kg(step.load_kg), step.reps)
        for step in steps
    ]


def _kg(value: float) -> Mass:
    return Mass.nearest_kg(value, "0.000001")
