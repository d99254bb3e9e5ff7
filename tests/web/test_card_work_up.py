"""On a max-effort day every set is logged with its own load and its own reps, the top as such."""

from dataclasses import replace

from sheets import make_class_sheet, make_max_effort_sheet, make_work_up

from heftwright.web.card.pages import load_figure, work_of


def first_line(sheet):
    return sheet.platforms[0].lifters[0]


def test_the_card_logs_each_set_at_its_own_step_with_its_own_reps():
    sheet = make_max_effort_sheet()
    work = work_of(sheet, first_line(sheet).athlete)
    assert work.load_figures == ("70", "92.5", "122.5", "140", "155", "165", "175")
    assert work.rep_figures == ("5", "3", "3", "3", "3", "6", "6")
    assert set(work.load_figures) <= set(work.load_choices)
    assert {int(reps) for reps in work.rep_figures} <= set(work.rep_choices)


def test_only_the_top_set_is_an_attempt_at_a_max():
    line = first_line(make_max_effort_sheet())
    assert [line.is_attempt(number) for number in range(1, 8)] == [False] * 6 + [True]
    assert work_of(make_max_effort_sheet(), line.athlete).attempt_set == 7


def test_a_top_that_is_held_down_on_purpose_is_no_attempt():
    sheet = make_max_effort_sheet()
    line = replace(first_line(sheet), is_max_attempt=False)
    assert not any(line.is_attempt(number) for number in range(1, 8))


def test_what_is_printed_of_a_work_up_cannot_be_read_as_many_top_sets():
    line = first_line(make_max_effort_sheet())
    assert line.work_words == "work up to 1 × 6"
    assert str(line.scheme) == "1 × 6"
    assert line.sets == len(line.steps) == 7


def test_somebody_may_join_a_platform_later_with_fewer_steps():
    line = make_work_up(first_line(make_class_sheet()), (45, 3), (60, 3), (67.5, 6))
    assert line.sets == 3
    assert [line.reps_of_set(number) for number in (1, 2, 3)] == [3, 3, 6]


def test_a_miss_on_the_floor_page_is_logged_at_that_sets_load():
    line = first_line(make_max_effort_sheet())
    assert load_figure(line, 1) == "70"
    assert load_figure(line, 7) == load_figure(line) == "175"


def test_on_other_days_every_set_has_the_one_load_and_none_is_an_attempt():
    sheet = make_class_sheet()
    line = first_line(sheet)
    work = work_of(sheet, line.athlete)
    assert set(work.load_figures) == {load_figure(line)}
    assert set(work.rep_figures) == {"2"}
    assert len(work.load_figures) == line.scheme.sets
    assert work.attempt_set == 0
