"""The season's calendar: contest, taper and easy weeks, and how waves are laid."""

from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.season.columns import replanning_grid, wave_grid
from heftwright.domain.season.weeks import WeekKind, lay_weeks, training_runs

N, T, C, E = WeekKind.NORMAL, WeekKind.TAPER, WeekKind.CONTEST, WeekKind.EASY


def test_a_squad_contest_has_a_taper_week_before_and_an_easy_week_after() -> None:
    assert lay_weeks(6, [3], easy_every=0) == (N, N, T, C, E, N)


def test_a_second_contest_two_weeks_later_turns_the_easy_week_into_a_taper() -> None:
    assert lay_weeks(6, [2, 4], easy_every=0) == (N, T, C, T, C, E)


def test_contests_in_weeks_running_leave_no_training_between() -> None:
    assert lay_weeks(4, [1, 2], easy_every=0) == (T, C, C, E)


def test_a_contest_in_the_first_week_needs_no_taper() -> None:
    assert lay_weeks(3, [0], easy_every=0) == (C, E, N)


def test_easy_weeks_are_laid_backwards_from_the_contest_every_six_weeks() -> None:
    # Common practice, no source: an easy week every 5–6 weeks unless a taper serves.
    assert lay_weeks(12, [11], easy_every=6) == (N, N, N, N, E, N, N, N, N, N, T, C)


def test_no_easy_week_is_spent_on_fewer_than_three_training_weeks() -> None:
    assert WeekKind.EASY not in lay_weeks(10, [9], easy_every=6)


def test_training_runs_are_cut_by_contests_and_easy_weeks() -> None:
    assert training_runs((N, N, T, C, E, N)) == (range(3), range(5, 6))


def test_a_run_of_seven_weeks_has_one_short_wave_of_one_week_anywhere() -> None:
    assert wave_grid(range(7)) == [
        (0, 3), (0, 1), (1, 3), (3, 3), (3, 1), (4, 3), (6, 1),
    ]  # fmt: skip


def test_a_run_of_six_weeks_is_two_waves() -> None:
    assert wave_grid(range(4, 10)) == [(4, 3), (7, 3)]


@given(st.integers(1, 20), st.integers(0, 5))
def test_every_run_can_be_covered_by_waves_exactly(length: int, start: int) -> None:
    grid = wave_grid(range(start, start + length))
    reach = {start}
    for week in range(start, start + length):
        if week in reach:
            reach |= {week + weeks for first, weeks in grid if first == week}
    assert start + length in reach
    assert all(1 <= weeks <= 3 and first + weeks <= start + length for first, weeks in grid)


@given(st.integers(4, 50), st.sets(st.integers(0, 49), max_size=5), st.integers(0, 8))
def test_every_main_contest_week_is_a_contest_week_and_no_run_is_longer_than_asked(
    weeks: int, mains: set[int], easy_every: int
) -> None:
    kinds = lay_weeks(weeks, mains, easy_every)
    assert all(kinds[week] == C for week in mains if week < weeks)
    if easy_every >= 3:
        assert all(len(run) <= easy_every + 3 for run in training_runs(kinds))


def test_when_replanning_old_waves_may_stay_and_short_ones_mend_the_ends() -> None:
    # A run of 7 weeks whose old plan began its waves at weeks 2 and 5 of the calendar.
    grid = replanning_grid(range(8), {(2, 3), (5, 3)})
    assert {(0, 2), (2, 3), (5, 3)} <= set(grid)
    assert all(week + weeks <= 8 for week, weeks in grid)
