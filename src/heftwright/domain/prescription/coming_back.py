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
from heftwright.domain.prescription.reasons import Fact, Reason, ReasonKind, reason
from heftwright.domain.strength.belief import Belief
from heftwright.domain.strength.formulas import share_of_max

RAMP_WEEKS = len(LAY_OFF_VOLUME)
LEAST_BAR_RATIO = 0.40
"""Under bands, the least on the bar while loads climb back: as in the first week back (ours)."""
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
    """Most of the max at the top once the ramp is over: at most 15 points more a week."""
    last = step_for(wave_named("lay_off", waves), RAMP_WEEKS, RAMP_WEEKS)
    return round(most_after_ramp(back.week, last.bar_ratio), 6)


def held_step(step: WaveStep, most_ratio: float) -> WaveStep | None:
    """A dynamic-effort step kept at or below ``most_ratio`` at the top, bands and all.

    The bar gives way, so that the bands' share stays as the wave wants it. None where too little
    would be left on the bar to train with: then straight weight is the better work.
    """
    if step.lockout_ratio <= most_ratio + 1e-9:
        return step
    bar_ratio = round(most_ratio - step.top_ratio, 6)
    enough = LEAST_BAR_RATIO if step.top_ratio else 0.0
    return replace(step, bar_ratio=bar_ratio) if bar_ratio >= enough else None


def rule_words(max_effort: MaxEffortScheme | None) -> str:
    """What the ramp changes, in words."""
    return LIGHTER_WAVE if max_effort is None else NO_WORK_UP


def climb_reason(back: Return, facts: Mapping[str, str]) -> Reason:
    """Why a max-effort day is still held down after the ramp; ``facts``: what, pct, max, target."""
    rise = f"{100 * MOST_RISE_RATIO:.0f}"
    return reason(ReasonKind.LAY_OFF_CLIMB, week=back.week, off=back.words, rise=rise, **facts)


def wave_climb_reason(back: Return, most_ratio: float, facts: Mapping[str, str]) -> Reason:
    """Why a dynamic-effort load is held down after the ramp; ``facts``: pct, max, target."""
    rise, most = f"{100 * MOST_RISE_RATIO:.0f}", f"{100 * most_ratio:.3g}"
    shared: dict[str, Fact] = {
        "week": back.week, "off": back.words, "most": most, "rise": rise,
    }  # fmt: skip
    return reason(ReasonKind.LAY_OFF_WAVE_CLIMB, **shared, **facts)


def old_max_reasons(back: Return | None, belief: Belief) -> list[Reason]:
    """That the max in use is from before the lay-off, where it is."""
    test = belief.last_test
    if back is None or test is None or test.on >= back.back_on:
        return []
    return [reason(ReasonKind.MAX_BEFORE_LAY_OFF, off=back.words, on=f"{test.on:%-d %B %Y}")]
