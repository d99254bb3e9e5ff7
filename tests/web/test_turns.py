"""Turns follow the plan's clock: rounds end at the platform's finish."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st
from sheets import make_platforms, make_work_up

from heftwright.domain.sheet.live import Phase, turn_at

STARTS = datetime(2026, 11, 23, 17, 30, tzinfo=UTC)


def platform():
    return make_platforms()[0]


def at(minutes):
    return turn_at(platform(), STARTS, STARTS + timedelta(minutes=minutes))


def test_before_the_first_set_the_first_lifter_is_told_when_it_starts():
    turn = at(2)
    assert turn.phase is Phase.BEFORE
    assert turn.now.name == "Tove"
    assert turn.next_up.name == "Marek"
    begins = STARTS + timedelta(minutes=41) - timedelta(seconds=12 * 148)
    assert turn.changes_at == begins


def test_the_second_third_of_the_first_round_is_the_second_lifters():
    begins_min = 41 - 12 * 148 / 60
    turn = at(begins_min + 60 / 60)
    assert (turn.now.name, turn.next_up.name, turn.set_number) == ("Marek", "Ilse", 1)


def test_after_the_last_lifter_of_a_round_comes_the_first():
    begins_min = 41 - 12 * 148 / 60
    turn = at(begins_min + 147 / 60)
    assert (turn.now.name, turn.next_up.name) == ("Ilse", "Tove")


def test_nobody_follows_the_very_last_set():
    turn = at(41 - 1 / 60)
    assert (turn.now.name, turn.next_up, turn.set_number) == ("Ilse", None, 12)


def test_at_its_finish_a_platform_is_over():
    turn = at(41)
    assert turn.phase is Phase.OVER
    assert turn.now is None


@given(second=st.integers(0, 3 * 3600))
def test_every_moment_has_a_turn_that_ends_later(second):
    now = STARTS + timedelta(seconds=second)
    turn = turn_at(platform(), STARTS, now)
    assert (turn.changes_at > now) == (turn.phase is not Phase.OVER)
    assert 1 <= turn.set_number <= turn.sets


def test_every_lifter_gets_every_set_in_turn():
    begins = STARTS + timedelta(minutes=41) - timedelta(seconds=12 * 148)
    turn_s = 148 / 3
    seen = [
        turn_at(platform(), STARTS, begins + timedelta(seconds=turn_s * (n + 0.5)))
        for n in range(36)
    ]
    assert [turn.now.name for turn in seen] == ["Tove", "Marek", "Ilse"] * 12
    assert [turn.set_number for turn in seen] == [n // 3 + 1 for n in range(36)]


def test_on_a_max_effort_day_the_board_shows_this_sets_step_and_ends_on_the_top():
    line = make_work_up(platform().lifters[0], (80, 5), (110, 3), (140, 2), (170, 1), (190, 1))
    assert [line.load_of_set(number) for number in range(1, line.sets + 1)] == list(line.ladder)
    assert [line.in_round(number).load for number in range(1, 6)] == list(line.ladder)
    assert line.load_of_set(line.sets) == line.load
    assert line.in_round(6) is None
    assert replace(line, ladder=(), steps=()).load_of_set(1) == line.load
