"""What a lay-off changes in one athlete's work: the ramp's weeks, and the climb after them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from heftwright.domain.catalogue import MaxEffortScheme
from heftwright.domain.dose.returns import (
    LAY_OFF_VOLUME,
    MOST_RISE_RATIO,
    Return,
    most_after_ramp,
)
from heftwright.domain.dose.waves import WaveStep, WaveTemplate, step_for, wave_named
from heftwright.domain.prescription.reasons import Reason, ReasonKind, reason
from heftwright.domain.strength.belief import Belief
from heftwright.domain.strength.formulas import share_of_max

RAMP_WEEKS = len(LAY_OFF_VOLUME)
NO_WORK_UP = f"sets well short of a max, no work-up in the first {RAMP_WEEKS} weeks"
LIGHTER_WAVE = f"the return wave in the place of the class's for {RAMP_WEEKS} weeks"


def ramp_step(
    back: Return, waves: Mapping[str, WaveTemplate], max_effort: MaxEffortScheme | None
) -> WaveStep:
    """The week's step of the coach's return wave.

    On a max-effort day it is at most 50, 70, 80, 90 % of what the full work would be (CSCCa–NSCA
    2019: 50/30/20/10 off, from memory).
    """
    step = step_for(wave_named("lay_off", waves), back.week, RAMP_WEEKS)
    if max_effort is None:
        return step
    full = share_of_max(max_effort.top_reps)
    return replace(step, bar_ratio=min(step.bar_ratio, LAY_OFF_VOLUME[back.week - 1] * full))


def most_while_settling(back: Return, waves: Mapping[str, WaveTemplate]) -> float:
    """Most of the max on a max-effort day once the ramp is over: at most 15 points a week."""
    last = step_for(wave_named("lay_off", waves), RAMP_WEEKS, RAMP_WEEKS)
    return round(most_after_ramp(back.week, last.bar_ratio), 6)


def rule_words(max_effort: MaxEffortScheme | None) -> str:
    """What the ramp changes, in words."""
    return LIGHTER_WAVE if max_effort is None else NO_WORK_UP


def climb_reason(back: Return, facts: Mapping[str, str]) -> Reason:
    """Why a max-effort day is still held down after the ramp; ``facts``: what, pct, max, target."""
    rise = f"{100 * MOST_RISE_RATIO:.0f}"
    return reason(ReasonKind.LAY_OFF_CLIMB, week=back.week, off=back.words, rise=rise, **facts)


def old_max_reasons(back: Return | None, belief: Belief) -> list[Reason]:
    """That the max in use is from before the lay-off, where it is."""
    test = belief.last_test
    if back is None or test is None or test.on >= back.back_on:
        return []
    return [reason(ReasonKind.MAX_BEFORE_LAY_OFF, off=back.words, on=f"{test.on:%-d %B %Y}")]
