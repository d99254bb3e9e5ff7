"""The independent checker: each rule broken by hand once, and the rows say the same."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from bench.season_gyms import EVENTS, START, contest, gym_season, random_season, squad, stock
from hypothesis import given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Resistance, Slot
from heftwright.domain.season import Firmness, Forbid, Pin, SeasonPlan, SeasonProblem, SeasonRules
from heftwright.domain.season.checker import check_season
from heftwright.domain.season.legal import legal_rows
from heftwright.domain.season.legal_row import Rule
from heftwright.domain.season.work import SlotWork

SINGLE, TRIPLE, REP_MAX = MaxEffortScheme
MEL, MEU, DEL = Slot.MAX_EFFORT_LOWER, Slot.MAX_EFFORT_UPPER, Slot.DYNAMIC_LOWER


def week(number: int) -> object:
    return START + timedelta(days=7 * number)


def heavy(slot: Slot, number: int, lift: str, scheme: MaxEffortScheme = TRIPLE,
          **more: object) -> SlotWork:  # fmt: skip
    work = SlotWork(slot, week(number), LiftKey(lift), max_effort=scheme)  # type: ignore[arg-type]
    return replace(work, **more)  # type: ignore[arg-type]


def wave(first: int, weeks: int, lift: str, resistance: Resistance = Resistance.STRAIGHT,
         step: int = 0, taper: int = -1) -> list[SlotWork]:  # fmt: skip
    return [
        SlotWork(DEL, week(first + k), LiftKey(lift), resistance, k + 1, weeks, step,  # type: ignore[arg-type]
                 is_taper=first + k == taper)
        for k in range(weeks)
    ]  # fmt: skip


def station(number: int, lift: str) -> SlotWork:
    return SlotWork(Slot.IMPLEMENT, week(number), LiftKey(lift))  # type: ignore[arg-type]


def said(problem: SeasonProblem, *work: SlotWork) -> str:
    return " ".join(check_season(problem, SeasonPlan(problem.start, problem.weeks, work)))


def lower(**more: object) -> SeasonProblem:
    return gym_season(8, 8, slots=(MEL,), **more)  # type: ignore[arg-type]


def test_a_slot_without_a_lift_is_said() -> None:
    assert "no main lift" in said(lower())


def test_a_blank_session_that_the_plan_itself_says_is_no_surprise() -> None:
    problem = lower()
    note = f"Max-effort lower, week of {START}: no main lift keeps every rule."
    plan = SeasonPlan(problem.start, problem.weeks, (), (note,))
    assert len(check_season(problem, plan)) == len(said(problem).split("no main lift")) - 2


def test_two_lifts_in_one_slot_are_said() -> None:
    both = heavy(MEL, 0, "back_squat"), heavy(MEL, 0, "deadlift")
    assert "2 main lifts" in said(lower(), *both)


def test_main_work_in_a_contest_week_is_said() -> None:
    assert "contest week has no main work" in said(lower(), heavy(MEL, 7, "back_squat"))


def test_a_taper_week_must_be_marked() -> None:
    assert "marked wrongly" in said(lower(), heavy(MEL, 6, "hex_deadlift"))


def test_the_same_max_effort_lift_again_within_five_weeks_is_too_soon() -> None:
    work = heavy(MEL, 0, "snatch_grip_deadlift"), heavy(MEL, 1, "snatch_grip_deadlift", SINGLE)
    assert "comes back too soon" in said(lower(), *work)


def test_after_five_weeks_the_lift_may_come_back() -> None:
    work = heavy(MEL, 0, "front_squat"), heavy(MEL, 5, "front_squat", SINGLE)
    assert "too soon" not in said(lower(), *work)


def test_near_the_contest_its_own_lift_may_come_every_second_week() -> None:
    problem = lower(contests=[contest(7, EVENTS[7:8], entrants=squad(8))])  # squat for reps
    own = [heavy(MEL, k, "back_squat", SINGLE) for k in (3, 5)]
    assert "too soon" not in said(problem, *own)
    assert "too soon" in said(problem, heavy(MEL, 4, "back_squat"), own[1])
    assert "too soon" in said(problem, heavy(MEL, 1, "back_squat"), own[0])


def test_a_planned_retest_pair_is_an_exception_to_the_repeat_rule() -> None:
    pins = [Pin(MEL, week(k), LiftKey("deadlift"), None, Firmness.RETEST) for k in (0, 4)]  # type: ignore[arg-type]
    work = [heavy(MEL, k, "deadlift", SINGLE) for k in (0, 4)]
    assert "too soon" not in said(lower(pins=pins), *work)
    assert "too soon" in said(lower(), *work)


def test_the_same_movement_three_weeks_in_a_row_is_said() -> None:
    lifts = ("back_squat", "front_squat", "box_squat")
    schemes = (SINGLE, TRIPLE, SINGLE)
    work = [heavy(MEL, k, x, y) for k, (x, y) in enumerate(zip(lifts, schemes, strict=True))]
    assert "same movement 3 weeks" in said(lower(), *work)


def test_the_same_scheme_three_weeks_in_a_row_is_said() -> None:
    work = [heavy(MEL, k, x) for k, x in enumerate(("back_squat", "deadlift", "front_squat"))]
    assert "same scheme 3 weeks" in said(lower(), *work)


@pytest.mark.parametrize(
    ("work", "sentence"),
    [
        (heavy(MEL, 6, "deadlift", is_taper=True), "too late for it to be heavy"),
        (heavy(MEL, 6, "front_squat", REP_MAX, is_taper=True), "no rep max in a taper"),
        (heavy(MEL, 0, "romanian_deadlift", SINGLE), "never done as a single"),
        (heavy(MEL, 0, "hung_good_morning", SINGLE), "long set-up"),
        (heavy(MEL, 0, "bench"), "no such form"),
        (heavy(MEL, 9, "deadlift"), "outside the season"),
    ],
)
def test_single_choices_that_are_not_allowed(work: SlotWork, sentence: str) -> None:
    assert sentence in said(lower(), work)


def test_a_forbidden_lift_is_said() -> None:
    ban = Forbid(LiftKey("front_squat"), START, START)
    assert "forbidden" in said(lower(forbids=[ban]), heavy(MEL, 0, "front_squat"))


def test_a_missing_pin_is_said() -> None:
    pin = Pin(MEL, START, LiftKey("front_squat"))
    assert "pinned" in said(lower(pins=[pin]), heavy(MEL, 0, "back_squat"))
    assert "pinned" not in said(lower(pins=[pin]), heavy(MEL, 0, "front_squat"))


def test_kit_for_a_third_of_the_class_is_said() -> None:
    problem = gym_season(14, 8, slots=(MEL,), stock=stock(axle=0))
    assert "does not serve the class" in said(problem, heavy(MEL, 0, "axle_deadlift"))


def dynamic(**more: object) -> SeasonProblem:
    return gym_season(8, 8, slots=(DEL,), **more)  # type: ignore[arg-type]


def test_after_a_wave_the_same_wave_may_not_follow() -> None:
    rules = SeasonRules(easy_every_weeks=0)
    work = [*wave(0, 3, "box_squat"), *wave(3, 3, "box_squat")]
    assert "same wave comes again" in said(dynamic(rules=rules), *work)


def test_a_wave_must_be_whole() -> None:
    assert "not whole" in said(dynamic(), *wave(0, 3, "box_squat")[:2])


def test_a_run_has_one_short_wave_unless_a_blank_breaks_it() -> None:
    rules = SeasonRules(easy_every_weeks=0)
    lifts = ("box_squat", "deadlift", "safety_bar_box_squat", "hex_deadlift")
    two_short = [
        *wave(0, 2, lifts[0]), *wave(2, 2, lifts[1]), *wave(4, 3, lifts[2], taper=6),
    ]  # fmt: skip
    assert "2 short waves" in said(dynamic(rules=rules), *two_short)
    with_blank = [*wave(0, 2, lifts[0]), *wave(3, 2, lifts[1])]
    assert "short waves" not in said(dynamic(rules=rules), *with_blank)


def test_waves_with_bands_must_alternate() -> None:
    # Known fault 2: bands nearly always won, since they cost nothing.
    rules = SeasonRules(easy_every_weeks=0)
    work = [*wave(0, 3, "deadlift", Resistance.BANDS), *wave(3, 3, "box_squat", Resistance.BANDS)]
    assert "with bands in a row" in said(dynamic(rules=rules), *work)
    old = replace(rules, banded_waves_in_a_row=0)
    assert "with bands in a row" not in said(dynamic(rules=old), *work)


def test_schemes_may_not_jump_against_the_drift() -> None:
    rules = SeasonRules(easy_every_weeks=0)
    back = [*wave(0, 3, "deadlift", step=1), *wave(3, 3, "box_squat", step=0)]
    assert "against the drift" in said(dynamic(rules=rules), *back)
    on = [*wave(0, 3, "deadlift", step=0), *wave(3, 3, "box_squat", step=1)]
    assert "against the drift" not in said(dynamic(rules=rules), *on)


def implement(**more: object) -> SeasonProblem:
    return gym_season(8, 8, slots=(Slot.IMPLEMENT,), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("lifts", "sentence"),
    [
        (("farmers", "sandbag_carry", "rope_sled_pull", "keg_loading"), "4 stations"),
        (("farmers", "farmers"), "stands there twice"),
        (("stone_series", "stone_over_bar"), "share scarce stones"),
        (("farmers", "static_hold"), "share scarce farmers"),
    ],
)
def test_stations_of_an_implement_day(lifts: tuple[str, ...], sentence: str) -> None:
    assert sentence in said(implement(), *(station(0, lift) for lift in lifts))


def test_stations_must_fit_the_minutes() -> None:
    # 8 + 8 + 8 min of set-up and 3 · 32 min of work are just 120; with 33 min each they are not.
    work = [station(0, lift) for lift in ("yoke", "stone_series", "wheel_carry")]
    assert "do not fit" not in said(implement(), *work)
    longer = SeasonRules(station_work_min=33)
    assert "123 min do not fit" in said(implement(rules=longer), *work)


def test_the_farmers_handles_may_not_carry_every_implement_day() -> None:
    # Known fault 3: the handles stood there in 6 of 11 weeks, though the contest asks for a frame.
    work = [station(k, "farmers") for k in range(2)]
    assert "too soon" in said(implement(), *work)
    assert "too soon" not in said(implement(rules=SeasonRules.reference()), *work)


def test_budgets_of_body_regions_are_added_up() -> None:
    problem = gym_season(8, 8, rules=SeasonRules.reference())
    heavy_week = [
        heavy(MEU, 0, "axle_clean_press", SINGLE), heavy(MEL, 0, "deficit_deadlift", SINGLE),
        *wave(0, 3, "deadlift", step=1), station(0, "yoke"), station(0, "sandbag_shoulder"),
    ]  # fmt: skip
    text = said(problem, *heavy_week)
    # Spine by hand: 3.0 + 5.0 + 0.6 · 4.5 + 4.0 + 3.0 = 17.7 of 15.
    assert "spine 17.7, most 15" in text


def test_two_days_in_a_row_are_added_up() -> None:
    # Monday deadlift wave (grip 2.5 · 0.6 = 1.5), Tuesday axle clean and press (grip 2.5): 4 of 6;
    # elbow 0.6 + 2.5; shoulder 0.3 + 4.0: fine. With the limit at 4 the shoulder is too much.
    rules = SeasonRules.reference()
    fine = gym_season(8, 8, rules=rules)
    work = [*wave(0, 3, "deadlift", step=1), heavy(MEU, 0, "axle_clean_press", SINGLE)]
    assert "two days in a row" not in said(fine, *work)
    low = replace(rules, in_a_row_limit={**rules.in_a_row_limit, "shoulder": 4.0})
    assert "shoulder 4.3 in two days" in said(gym_season(8, 8, rules=low), *work)


def test_done_work_must_stay_and_is_not_blamed() -> None:
    done = (heavy(MEL, 0, "deadlift", SINGLE), heavy(MEL, 1, "deadlift", SINGLE))
    problem = lower(done=done)
    assert "was done and is missing" in said(problem)
    assert "too soon" not in said(problem, *done)
    assert "too soon" in said(problem, *done, heavy(MEL, 2, "deadlift", SINGLE))


def _random_choice(problem: SeasonProblem, seed: int) -> np.ndarray:
    """A column a cell at random: mostly illegal plans, in many ways."""
    draw = np.random.default_rng(seed)
    chosen = np.zeros(len(problem.columns))
    taken: set[tuple[Slot, int]] = set()
    for j in draw.permutation(len(problem.columns)):
        column = problem.columns[j]
        cells = {(column.slot, w) for w in column.span}
        if column.slot == Slot.IMPLEMENT:
            chosen[j] = float(draw.random() < 0.05)
        elif not cells & taken:
            chosen[j] = 1.0
            taken |= cells
    return chosen


_SAME: dict[Rule, Callable[[str], bool]] = {
    Rule.COVER: lambda text: "main lift" in text,
    Rule.REPEAT: lambda text: "too soon" in text,
    Rule.PATTERN_RUN: lambda text: "same movement" in text,
    Rule.SCHEME_RUN: lambda text: "same scheme" in text,
    Rule.WAVE_CHANGE: lambda text: "wave comes again" in text or "waves close" in text,
    Rule.BANDS: lambda text: "with bands in a row" in text,
    Rule.DRIFT: lambda text: "against the drift" in text,
    Rule.STATIONS: lambda text: "stations, at most" in text,
    Rule.MINUTES: lambda text: "do not fit" in text,
    Rule.ONCE: lambda text: "twice" in text,
    Rule.SCARCE_KIT: lambda text: "share scarce" in text,
    Rule.WEEK_LOAD: lambda text: text.startswith("Week of"),
    Rule.FOUR_WEEKS: lambda text: text.startswith("Four weeks"),
    Rule.TWO_DAYS: lambda text: "two days in a row" in text or "in one day" in text,
}


@given(st.integers(0, 400), st.integers(0, 10_000))
@settings(max_examples=25)
def test_the_checker_and_the_rows_agree_on_random_plans_rule_by_rule(
    seed: int, choice: int
) -> None:
    problem = random_season(seed)
    chosen = _random_choice(problem, choice)
    broken = {row.rule for row in legal_rows(problem).broken_by(chosen)}
    sentences = check_season(problem, problem.plan_of(chosen))
    for rule, is_said in _SAME.items():
        if rule == Rule.DRIFT and Rule.COVER in broken:
            continue  # the rows read a blank week as the lowest scheme, the checker as no scheme
        if rule == Rule.SCARCE_KIT and Rule.ONCE in broken:
            continue  # a lift that stands there twice: two stations on one kit, or one too many
        assert (rule in broken) == any(is_said(text) for text in sentences), (rule, sentences)
