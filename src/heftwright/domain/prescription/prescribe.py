"""One athlete's main work for tonight, from the season's order, the max, the dose and the stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from heftwright.domain.catalogue import MaxEffortScheme, Resistance
from heftwright.domain.dose import Scheme
from heftwright.domain.dose.guards import (
    MINOR_BAND_PAIRS,
    OPEN_TOP_RATIO,
    UNTESTED_NEAR_RATIO,
)
from heftwright.domain.dose.returns import (
    LAY_OFF_NO_MAX_WEEKS,
    Return,
    return_of,
    settling_in,
)
from heftwright.domain.dose.schemes import scheme_for, taper
from heftwright.domain.dose.waves import (
    WAVE_TEMPLATES,
    WaveStep,
    WaveTemplate,
    step_for,
    template_for,
    wave_named,
)
from heftwright.domain.mass import Mass
from heftwright.domain.prescription.ask import Ask, Evening
from heftwright.domain.prescription.cautions import Caution
from heftwright.domain.prescription.coming_back import (
    climb_reason,
    held_step,
    most_while_settling,
    old_max_reasons,
    ramp_step,
    rule_words,
    wave_climb_reason,
)
from heftwright.domain.prescription.policy import WithoutBands
from heftwright.domain.prescription.reasons import Reason, ReasonKind, reason
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.resistance.bar_path import BarPath, UnknownBarPathError, bar_path
from heftwright.domain.resistance.chooser import RigChoice, WantedShare, swept
from heftwright.domain.resistance.rigs import SetUp
from heftwright.domain.season import SlotWork
from heftwright.domain.season.substitution import OwnTaper
from heftwright.domain.squad import Athlete
from heftwright.domain.strength.formulas import share_of_max

MAX_EFFORT_SETS = 7
MAX_EFFORT_REST_S = 150
HARD_SHARE_RATIO = 0.05
REP_WORK_STEP = WaveStep(0.60, 0.0, 24)
REP_WORK_REPS = 8
TOO_SOON_FOR_BANDS = "so soon after a lay-off bands would leave too little on the bar"
MINOR_WITHOUT_BANDS = "under 18, and bands and chains only where the coach's settings allow them"
"""In the place of a banded wave where the coach wants rep work instead (common practice)."""


def class_scheme(work: SlotWork, waves: Mapping[str, WaveTemplate] = WAVE_TEMPLATES) -> Scheme:
    """The scheme everybody's turn order is planned on."""
    if work.max_effort is not None:
        return Scheme(MAX_EFFORT_SETS, work.max_effort.top_reps, MAX_EFFORT_REST_S)
    template = template_for(work.resistance, is_lower=work.slot.is_lower, waves=waves)
    step = step_for(template, work.wave_week, work.wave_weeks)
    scheme = scheme_for(step, work.scheme_step, work.slot.is_lower)
    return taper(scheme) if work.is_taper or work.is_easy else scheme


def without_bands(ask: Ask, evening: Evening, why: str) -> WantedWork:
    """The same work as straight weight at its own percentages, because ``why``."""
    straight = replace(ask.work, resistance=Resistance.STRAIGHT)
    work = _dynamic(replace(ask, work=straight), evening)
    return replace(work, reasons=(*work.reasons, reason(ReasonKind.NO_RIG, why=why)))


def prescribe(ask: Ask, evening: Evening) -> WantedWork:
    """The athlete's wanted work, with its reasons and cautions."""
    scheme = ask.work.max_effort
    if scheme is None:
        return _dynamic(ask, evening)
    back = _back(ask, evening)
    if back is not None and back.week <= LAY_OFF_NO_MAX_WEEKS:
        easy = replace(evening.scheme, reps=max(3, evening.scheme.reps))
        return _dynamic(ask, replace(evening, scheme=easy))
    return _max_effort(ask, evening, scheme)


def _back(ask: Ask, evening: Evening) -> Return | None:
    return return_of(ask.athlete, ask.lift, evening.day)


@dataclass(frozen=True, slots=True)
class _Dose:
    """The share on the bar and at the top, and why."""

    step: WaveStep
    why: ReasonKind
    week: int
    choices: tuple[RigChoice, ...] = ()
    path: BarPath | None = None
    no_rig: str = ""
    back: Return | None = None
    most_ratio: float = 1.0


def _dynamic(ask: Ask, evening: Evening) -> WantedWork:
    max_kg, max_words = ask.belief.prescribing_kg(evening.day)
    dose = _dose(ask, evening, max_kg)
    easy = evening.policy.easy_week_factor if ask.work.is_easy else 1.0
    target_kg = dose.step.bar_ratio * max_kg * easy
    scheme = _own_scheme(_by_policy(evening.scheme, dose), dose.step, ask.own_taper)
    reasons = [
        *_lift_reasons(ask, max_words),
        *old_max_reasons(dose.back, ask.belief),
        _dose_reason(ask, evening, dose, max_kg, target_kg / easy),
        *_week_reasons(ask, scheme, evening),
    ]
    if dose.no_rig:
        reasons.append(reason(ReasonKind.NO_RIG, why=dose.no_rig))
    return WantedWork(
        athlete=ask.athlete.id, lift=ask.lift.key, slot=ask.work.slot, scheme=scheme,
        max_kg=max_kg, max_words=max_words, is_estimated=not ask.belief.is_tested,
        target_kg=target_kg, tolerance_ratio=evening.policy.tolerance_ratio,
        top_ratio=dose.step.top_ratio if dose.choices else 0.0,
        top_slack_ratio=evening.policy.top_slack_ratio, choices=dose.choices,
        path=dose.path, reasons=tuple(reasons),
        cautions=_cautions(ask, evening, dose.path, has_bands=bool(dose.choices)),
        is_minor=ask.athlete.is_minor_on(evening.day), belief=ask.belief,
        is_near_contest=ask.is_near_contest,
    )  # fmt: skip


def _by_policy(scheme: Scheme, dose: _Dose) -> Scheme:
    return replace(scheme, reps=REP_WORK_REPS) if dose.why is ReasonKind.REP_WORK else scheme


def _dose(ask: Ask, evening: Evening, max_kg: float) -> _Dose:
    back = _back(ask, evening)
    if back is not None:
        step = ramp_step(back, evening.waves, ask.work.max_effort)
        return _Dose(step, ReasonKind.LAY_OFF, back.week, back=back)
    settling = settling_in(ask.athlete, ask.lift, evening.day)
    if settling is None:
        return _class_dose(ask, evening, max_kg)
    return _climbing(ask, evening, max_kg, settling)


def _climbing(ask: Ask, evening: Evening, max_kg: float, back: Return) -> _Dose:
    """The class's own dose, held down while the weeks after a lay-off's ramp climb back to it."""
    most = most_while_settling(back, evening.waves)
    dose = _class_dose(ask, evening, max_kg)
    step = held_step(dose.step, most)
    room = most - step.bar_ratio + 1e-9 if step else 0.0
    usable = tuple(choice for choice in dose.choices if choice.top_ratio <= room)
    if step is None or (dose.choices and not any(choice.is_within for choice in usable)):
        straight = replace(ask, work=replace(ask.work, resistance=Resistance.STRAIGHT))
        dose = replace(_class_dose(straight, evening, max_kg), no_rig=TOO_SOON_FOR_BANDS)
        step, usable = replace(dose.step, bar_ratio=min(dose.step.bar_ratio, most)), ()
    is_held = step != dose.step
    return replace(dose, step=step, choices=usable, back=back if is_held else None, most_ratio=most)


def _class_dose(ask: Ask, evening: Evening, max_kg: float) -> _Dose:
    week, weeks = ask.work.wave_week, ask.work.wave_weeks
    if _is_beginner(ask.athlete, evening):
        beginner = wave_named("beginner", evening.waves)
        return _Dose(step_for(beginner, week, weeks), ReasonKind.BEGINNER, week)
    straight = step_for(wave_named("straight", evening.waves), week, weeks)
    if ask.work.resistance is Resistance.STRAIGHT:
        return _Dose(straight, ReasonKind.STRAIGHT_STEP, week)
    if ask.athlete.is_minor_on(evening.day) and not evening.policy.minors_use_bands:
        return _Dose(straight, ReasonKind.STRAIGHT_STEP, week, no_rig=MINOR_WITHOUT_BANDS)
    template = template_for(
        ask.work.resistance, is_lower=ask.work.slot.is_lower, waves=evening.waves
    )
    return _accommodated(ask, evening, max_kg, step_for(template, week, weeks), straight)


def _accommodated(
    ask: Ask, evening: Evening, max_kg: float, step: WaveStep, straight: WaveStep
) -> _Dose:
    week = ask.work.wave_week
    try:
        path = bar_path(ask.lift, ask.athlete)
    except UnknownBarPathError as error:
        return _Dose(straight, ReasonKind.STRAIGHT_STEP, week, no_rig=str(error).rstrip("."))
    slack = evening.policy.top_slack_ratio
    rows = evening.swept or swept(evening.set_ups, [path])
    ranked = rows.choose(
        path, WantedShare(max_kg, step.top_ratio, step.top_ratio - slack, step.top_ratio + slack)
    )
    usable = tuple(c for c in ranked if _is_usable(c, ask.work.resistance, step, slack))
    if ask.athlete.is_minor_on(evening.day):
        usable = tuple(c for c in usable if _band_pairs(c.setup) <= MINOR_BAND_PAIRS)
    if any(choice.is_within for choice in usable):
        return _Dose(step, ReasonKind.WAVE_STEP, week, usable, path)
    lacking = (
        f"no {ask.work.resistance.shown} in stock give {_pct(step.top_ratio)} % "
        f"± {_pct(slack)} of {_kg(max_kg)} over this range of motion"
    )
    if evening.policy.without_bands is WithoutBands.REP_WORK:
        return _Dose(REP_WORK_STEP, ReasonKind.REP_WORK, week, path=path, no_rig=lacking)
    return _Dose(straight, ReasonKind.STRAIGHT_STEP, week, path=path, no_rig=lacking)


def _band_pairs(setup: SetUp) -> int:
    return sum(setup.band_key_counts().values())


def _is_usable(
    choice: RigChoice, resistance: Resistance, step: WaveStep, slack_ratio: float
) -> bool:
    """The wanted kind, nothing against it, and at most 5 points outside the tolerated range."""
    parts = choice.setup.chain_parts if resistance is Resistance.BANDS else choice.setup.band_parts
    off_ratio = abs(choice.top_ratio - step.top_ratio)
    return not parts and not choice.stops and off_ratio <= slack_ratio + HARD_SHARE_RATIO


def _own_scheme(scheme: Scheme, step: WaveStep, eases: OwnTaper | None) -> Scheme:
    """The class's sets, fewer where this athlete's wave or own taper allows fewer."""
    sets = min(scheme.sets, step.most_reps // scheme.reps)
    if eases is not None:
        sets = min(sets, round(sets * eases.volume_ratio))
    return replace(scheme, sets=max(1, sets))


def _max_effort(ask: Ask, evening: Evening, scheme: MaxEffortScheme) -> WantedWork:
    max_kg, max_words = ask.belief.prescribing_kg(evening.day)
    is_minor = ask.athlete.is_minor_on(evening.day)
    untested = not ask.belief.is_tested and ask.is_near_contest
    limited = is_minor or untested
    back = settling_in(ask.athlete, ask.lift, evening.day)
    most = most_while_settling(back, evening.waves) if back else 1.0
    no_single = limited or most < 1.0
    own = MaxEffortScheme.TRIPLE if no_single and scheme is MaxEffortScheme.SINGLE else scheme
    ratio = share_of_max(own.top_reps) * (evening.policy.minor_top_ratio if limited else 1.0)
    ratio *= evening.policy.easy_week_factor if ask.work.is_easy else 1.0
    if untested:
        ratio = min(ratio, UNTESTED_NEAR_RATIO * share_of_max(own.top_reps))
    is_open = ask.belief.is_tested and not ask.belief.may_target_top(evening.day)
    if is_open:
        ratio = min(ratio, OPEN_TOP_RATIO * share_of_max(own.top_reps))
    is_climbing = back is not None and most < ratio
    ratio = min(ratio, most)
    what = {"single": "single", "triple": "triple", "rep_max": "set of 6"}[own]
    facts = {"what": what, "pct": _pct(ratio), "max": _kg(max_kg), "target": _kg(ratio * max_kg)}
    reasons = [
        *_lift_reasons(ask, max_words),
        reason(ReasonKind.OPEN_TOP, why=ask.belief.why_no_top, **facts) if is_open
        else reason(ReasonKind.RAMP_TOP, **facts),
    ]  # fmt: skip
    if back is not None and is_climbing:
        reasons[-1] = climb_reason(back, facts)
        reasons += old_max_reasons(back, ask.belief)
    if untested:
        reasons.append(reason(ReasonKind.UNTESTED_NEAR, lift=ask.lift.name, what=what))
    if is_minor:
        reasons.append(reason(ReasonKind.MINOR_TOP_SET, what=what))
    reasons.extend(_week_reasons(ask, evening.scheme, evening))
    return WantedWork(
        athlete=ask.athlete.id, lift=ask.lift.key, slot=ask.work.slot,
        scheme=replace(evening.scheme, reps=own.top_reps), max_kg=max_kg, max_words=max_words,
        is_estimated=not ask.belief.is_tested, target_kg=ratio * max_kg,
        tolerance_ratio=evening.policy.tolerance_ratio, never_above=True,
        top_ratio=0.0,
        top_slack_ratio=evening.policy.top_slack_ratio, choices=(), path=None,
        reasons=tuple(reasons),
        cautions=(*_cautions(ask, evening, None, has_bands=False), Caution.MAXIMAL_LIFT),
        is_minor=is_minor, max_effort=own, belief=ask.belief, is_top_open=is_open,
        is_near_contest=ask.is_near_contest,
        is_taper=ask.work.is_taper or ask.own_taper is not None,
    )  # fmt: skip


def _lift_reasons(ask: Ask, max_words: str) -> list[Reason]:
    found = []
    if ask.why_instead:
        found.append(
            reason(
                ReasonKind.SUBSTITUTED,
                lift=ask.lift.name,
                planned=ask.planned.name,
                why=ask.why_instead,
            )
        )
    found.append(reason(ReasonKind.MAX_USED, lift=ask.lift.name, words=max_words))
    return found


def _dose_reason(
    ask: Ask, evening: Evening, dose: _Dose, max_kg: float, target_kg: float
) -> Reason:
    if dose.why is ReasonKind.REP_WORK and dose.back is None:
        return reason(dose.why, pct=_pct(dose.step.bar_ratio), target=_kg(target_kg))
    shared = {"pct": _pct(dose.step.bar_ratio), "max": _kg(max_kg), "target": _kg(target_kg)}
    if dose.why is ReasonKind.LAY_OFF and dose.back is not None:
        rule = rule_words(ask.work.max_effort)
        return reason(dose.why, week=dose.week, off=dose.back.words, rule=rule, **shared)
    if dose.back is not None:
        return wave_climb_reason(dose.back, dose.most_ratio, shared)
    if dose.why is ReasonKind.BEGINNER:
        return reason(dose.why, weeks=evening.policy.beginner_weeks, **shared)
    return reason(dose.why, week=ask.work.wave_week, weeks=ask.work.wave_weeks, **shared)


def _week_reasons(ask: Ask, scheme: Scheme, evening: Evening) -> list[Reason]:
    if ask.work.is_easy:
        return [reason(ReasonKind.EASY_WEEK, pct=_pct(evening.policy.easy_week_factor))]
    if ask.work.is_taper and ask.work.max_effort is not None:
        return [reason(ReasonKind.TAPER_STEPS)]
    if ask.work.is_taper:
        usual = class_scheme(replace(ask.work, is_taper=False), evening.waves)
        return [reason(ReasonKind.TAPER, usual=str(usual), scheme=str(scheme))]
    if ask.own_taper is not None:
        return [reason(ReasonKind.OWN_TAPER, why=ask.own_taper.reason)]
    return []


def _cautions(
    ask: Ask, evening: Evening, path: BarPath | None, *, has_bands: bool
) -> tuple[Caution, ...]:
    athlete, day, belief = ask.athlete, evening.day, ask.belief
    is_minor = athlete.is_minor_on(day)
    is_old = belief.is_tested and not belief.may_target_top(day)
    has_top = ask.work.max_effort is not None and _back(ask, evening) is None
    has_adults = bool(athlete.guardian and athlete.supervisor)
    checks = (
        (Caution.MINOR, is_minor),
        (Caution.NO_GUARDIAN, is_minor and not has_adults),
        (Caution.BACK_FROM_LAY_OFF, _back(ask, evening) is not None),
        (Caution.NO_TOP_TARGET, is_old and has_top),
        (Caution.OLD_MAX, is_old and not has_top),
        (
            Caution.STALE_MAX,
            belief.is_tested and belief.asks_for_test(day) and belief.may_target_top(day),
        ),
        (Caution.WIDE_ESTIMATE, belief.log_sd > evening.policy.wide_log_sd),
        (Caution.BANDS, has_bands and ask.work.resistance is Resistance.BANDS),
        (
            Caution.HEIGHTS_FROM_STATURE,
            has_bands and path is not None and "stature" in path.source,
        ),
    )
    return tuple(caution for caution, holds in checks if holds)


def _is_beginner(athlete: Athlete, evening: Evening) -> bool:
    if athlete.joined_on is None:
        return False
    return (evening.day - athlete.joined_on).days < 7 * evening.policy.beginner_weeks


def _pct(ratio: float) -> str:
    return f"{100 * ratio:.3g}"


def _kg(value: float) -> str:
    return Mass.nearest_kg(value, "0.1").shown(places=1)
