"""Words on pages: a figure never without its unit, a change never misread."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.template import Context, Template
from sheets import make_class_sheet, make_line, make_sleeve, plates

from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet.live import ClassClock, PlatformMark
from heftwright.web.board.pages import board_of, called
from heftwright.web.card.pages import work_of
from heftwright.web.render import words

STARTS = datetime(2026, 11, 23, 17, 30, tzinfo=UTC)


def test_runs_of_the_same_plate_are_counted():
    assert words.stack_words(plates("25", "25", "5", "2.5")) == "2 × 25 + 5 + 2.5"


def test_on_the_board_two_plates_coming_off_are_never_joined_by_a_plus():
    change = words.change_of(make_sleeve(("25",), off=("10", "2.5"), on=("5",)))
    assert (change.off_list, change.on_list) == ("10, 2.5", "5")
    assert "+" not in change.off_list


def test_nothing_to_change_says_so():
    assert not words.change_of(make_sleeve(("25",))).is_any


def test_straight_weight_has_no_top_share():
    assert words.share_words(make_line(1, "A", "100", None, rig="")) == "50 % of max"


def test_bands_say_the_share_at_the_top_with_its_load():
    said = words.share_words(make_line(1, "A", "100", None))
    assert said == "50 % on the bar + 25 % from bands = 75 % at the top (149 kg)"


def test_the_printed_shares_add_up_and_chains_are_called_chains():
    line = replace(
        make_line(1, "A", "100", None, rig="two chains a side"),
        bar_share_pct=55.4, top_share_pct=28.4,
    )  # fmt: skip
    assert words.share_words(line).startswith(
        "55 % on the bar + 29 % from chains = 84 % at the top"
    )


@pytest.mark.parametrize(
    ("age_s", "said"),
    [
        (0, "just now"),
        (40, "40 s ago"),
        (300, "5 min ago"),
        (7300, "2 h ago"),
        (400_000, "4 days ago"),
    ],
)
def test_ages_are_said_in_the_largest_unit_that_still_tells(age_s, said):
    assert words.age_words(age_s) == said


@pytest.mark.parametrize(("value", "said"), [("100.0", "100"), ("0.50", "0.5"), ("2.25", "2.25")])
def test_numbers_carry_no_idle_zeros(value, said):
    assert words.plain(Decimal(value), 2) == said


def rendered(text, **values):
    return Template("{% load look %}" + text).render(Context(values))


def test_a_mass_is_one_piece_of_figure_and_unit():
    drawn = rendered("{% mass value unit %}", value=Mass.kg("97.5"), unit=MassUnit.KG)
    assert drawn == '<span class="figure">97.5<span class="unit">&#8239;kg</span></span>'


def test_pounds_stay_pounds():
    assert ">225<" in rendered("{% mass v u %}", v=Mass.lb(225), u=MassUnit.LB)


def test_a_hostile_plate_label_cannot_leave_its_picture():
    sleeve = make_sleeve(("25",))
    bad = plates("25")[0].__class__("p", Mass.kg(25), "<script>x</script>", 450, 50, "red")
    line = make_line(1, "A", "70", sleeve.__class__("Bar", 415, (bad,), Mass.kg(0)))
    assert "<script>" not in rendered('{% sleeve line "t" %}', line=line)


def test_the_board_shows_at_most_three_platforms_at_a_time():
    sheet = make_class_sheet()
    four = make_class_sheet(platforms=(*sheet.platforms, sheet.platforms[0]))
    board = board_of(four, STARTS, STARTS, floor_url="/f", gym_name="G")
    assert [len(page) for page in board.pages] == [3, 1]


def test_the_boards_version_changes_with_the_turn_and_with_the_plan():
    sheet = make_class_sheet()

    def version(sheet, minutes):
        now = STARTS + timedelta(minutes=minutes)
        return board_of(sheet, STARTS, now, floor_url="/f", gym_name="G").version

    assert version(sheet, 20) == version(sheet, 20.001)
    assert version(sheet, 20) != version(sheet, 22)
    assert version(sheet, 20) != version(make_class_sheet(plan_version=4), 20)


def test_the_card_names_the_neighbours_in_turn_order():
    sheet = make_class_sheet()
    work = work_of(sheet, sheet.platforms[0].lifters[1].athlete)
    assert work.turn_words.startswith("Turn 2 of 3: after Tove, before Ilse.")


def test_an_unplaced_athlete_has_no_work_on_the_card():
    sheet = make_class_sheet()
    assert work_of(sheet, sheet.unplaced[0].athlete) is None


def test_the_card_offers_loads_around_the_prescribed_one_in_its_own_unit():
    sheet = make_class_sheet()
    work = work_of(sheet, sheet.platforms[0].lifters[0].athlete)
    assert work.load_choices == ("90", "92.5", "95", "97.5", "100", "102.5", "105")


def test_across_the_room_people_go_by_first_name_and_initial_their_number_beside_it():
    names = ["Kit Lowmoor", "Kit Vane", "Runa", "Callum Brae-Norris"]
    assert [called(name) for name in names] == ["Kit L.", "Kit V.", "Runa", "Callum B."]


def test_before_the_class_the_board_shows_who_goes_where_in_turn_order():
    sheet = make_class_sheet()
    first = min(item.finish_min - item.left_s / 60 for item in sheet.platforms)
    before = STARTS + timedelta(minutes=first) - timedelta(minutes=1)
    page = board_of(sheet, STARTS, before, floor_url="/f", gym_name="G")
    assert page.groups[0][0].people == ("7 Tove", "12 Marek", "3 Ilse")
    later = board_of(sheet, STARTS, before + timedelta(minutes=5), floor_url="/f", gym_name="G")
    assert later.groups == ()


def test_a_class_that_the_coach_started_runs_on_the_coachs_clock():
    sheet = make_class_sheet()
    first = min(item.finish_min - item.left_s / 60 for item in sheet.platforms)
    late = STARTS + timedelta(minutes=9)
    mark = PlatformMark("B", 5, late + timedelta(minutes=first))
    running = ClassClock("2026-11-23/mon-1830", late, (mark,))
    now = late + timedelta(minutes=first, seconds=5)
    page = board_of(sheet, STARTS, now, running, floor_url="/f", gym_name="G")
    turns = {item.key: item.turn.set_number for shown in page.pages for item in shown}
    assert turns["A"] == 1
    assert turns["B"] == 6


def test_a_board_before_the_day_of_the_class_names_the_day():
    sheet = make_class_sheet()
    eve = board_of(sheet, STARTS, STARTS - timedelta(days=1), floor_url="/f", gym_name="G")
    assert eve.lift_name == "Mon: Block deadlift, 10 cm"


def test_the_card_says_when_its_change_is_not_for_the_first_set():
    first, *rest = make_class_sheet().platforms
    sheet = make_class_sheet(platforms=(replace(first, on_bar=()), *rest))
    lead, second, *_ = sheet.platforms[0].lifters
    assert work_of(sheet, lead.athlete).is_first_on_empty_bar
    assert not work_of(sheet, second.athlete).is_first_on_empty_bar
    assert not work_of(make_class_sheet(), lead.athlete).is_first_on_empty_bar
