"""On a max-effort day every set is logged at its own step of the work-up, never at the top."""

from dataclasses import replace

from sheets import make_class_sheet

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass
from heftwright.web.card.pages import load_figure, work_of

LADDER = tuple(Mass.kg(kg) for kg in (25, 90, 125, 160, 182, 205, 217, 230))


def work_up_sheet():
    sheet = make_class_sheet()
    platform = sheet.platforms[0]
    line = replace(platform.lifters[0], scheme=Scheme(7, 6, 150), load=Mass.kg(230), ladder=LADDER)
    lifters = (line, *platform.lifters[1:])
    return replace(
        sheet, platforms=(replace(platform, lifters=lifters), *sheet.platforms[1:])
    ), line


def test_the_card_logs_each_set_at_its_own_step_and_only_the_last_at_the_top():
    sheet, line = work_up_sheet()
    work = work_of(sheet, line.athlete)
    assert work.load_figures == ("90", "125", "160", "182", "205", "217", "230")
    assert set(work.load_figures) <= set(work.load_choices)


def test_a_miss_on_the_floor_page_is_logged_at_that_sets_load():
    _, line = work_up_sheet()
    assert load_figure(line, 1) == "90"
    assert load_figure(line, 7) == load_figure(line) == "230"


def test_on_other_days_every_set_has_the_one_load():
    sheet = make_class_sheet()
    line = sheet.platforms[0].lifters[0]
    work = work_of(sheet, line.athlete)
    assert set(work.load_figures) == {load_figure(line)}
    assert len(work.load_figures) == line.scheme.sets
