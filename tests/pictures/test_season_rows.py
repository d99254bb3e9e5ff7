"""What stands on the strip's blocks and signs is said in full, in letters that can be read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import pytest
from picture_samples import season

from heftwright.domain.catalogue import load_catalogue
from heftwright.domain.sheet import StripBlock, StripLane
from heftwright.domain.sheet.build_strip import EASY_STEP, IMPLEMENT_STEP, SINGLE_STEP
from heftwright.pictures.lettering import width_of
from heftwright.pictures.season_rows import fitted_rows, lane_height
from heftwright.pictures.season_signs import signs_of
from heftwright.pictures.season_strip import season_strip_svg, week_room_of

SVG = "{http://www.w3.org/2000/svg}"
LEAST_PX = 12.0
NAMES = [lift.name for lift in load_catalogue().values()]
ROOMS = [week_room_of(weeks) for weeks in (12, 16, 18, 20, 40)]
STATIONS = StripBlock(
    0, 1, "Yoke carry · Frame carry · Stone over the bar for reps", "stations", (IMPLEMENT_STEP,)
)


def rows_of(block, room):
    height = lane_height(StripLane("x", "Lane", (block,)), room) * min(block.steps)
    rows = fitted_rows(block, block.weeks * room - 4, height)
    assert all(row.size >= LEAST_PX for row in rows)
    assert all(width_of(row.text, row.size) <= block.weeks * room - 8 for row in rows)
    assert sum(row.line for row in rows) <= height
    return [row.text for row in rows]


def is_cut(rows):
    return any(row.endswith("…") for row in rows)


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("marked", [{}, {"is_done": True}, {"is_pinned": True}])
def test_every_lift_of_the_catalogue_is_named_in_full_on_a_single_day(room, marked):
    cut = [
        name
        for name in NAMES
        if is_cut(rows_of(StripBlock(0, 1, name, "single", (SINGLE_STEP,), **marked), room))
    ]
    assert cut == []


@pytest.mark.parametrize("room", ROOMS)
def test_three_stations_of_an_implement_day_are_all_named(room):
    rows = rows_of(STATIONS, room)
    assert not is_cut(rows)
    assert "".join(rows).replace(" ", "").replace("-", "") == STATIONS.label.replace(" ", "")


@pytest.mark.parametrize("room", ROOMS)
def test_a_wave_says_its_second_line_in_full(room):
    """The taper in the last week stood cut off: "chains, many short sets, taper v…"."""
    words = "chains, many short sets, taper volume in week 3"
    wave = StripBlock(0, 3, "Log press from the rack", words, (0.5, 0.75, 0.9))
    rows = rows_of(wave, room)
    assert " ".join(rows) == f"{wave.label} {words}"


def test_where_there_is_room_letters_stay_large():
    (row,) = fitted_rows(StripBlock(0, 1, "Floor press", "", (1.0,)), 84, 104)
    assert row.size > LEAST_PX


def test_light_work_says_just_that_and_makes_no_lane_taller():
    light = StripBlock(0, 1, "Pin squat from a dead start", "light", (EASY_STEP,), is_light=True)
    assert rows_of(light, 63) == ["light"]
    assert lane_height(StripLane("x", "Lane", (light,)), 63) == 104


def test_a_lane_grows_only_for_what_would_be_cut_and_not_without_end():
    assert lane_height(StripLane("x", "Lane", ()), 63) == 104
    assert 104 < lane_height(StripLane("x", "Lane", (STATIONS,)), 56) <= 160
    endless = replace(STATIONS, label=" · ".join(NAMES[:20]))
    assert lane_height(StripLane("x", "Lane", (endless,)), 56) == 160
    assert is_cut(rows_of_any(endless, 56))


def rows_of_any(block, room):
    return [row.text for row in fitted_rows(block, room - 4, 160 * min(block.steps))]


def post(week, events, name="Gannet Rock Strongest"):
    first = season().posts[0]
    return replace(first, week=week, name=name, on=date(2027, 2, 13), events=events)


EVENTS = ("Axle deadlift, one rep", "Log press, rising bar", "Yoke carry", "Frame carry",
          "Stone series")  # fmt: skip


def x_of(week):
    return 116 + 63 * week


def signs(*posts):
    strip = replace(season(), posts=posts)
    return signs_of(strip, x_of)


def test_a_contest_names_all_its_events_on_as_many_lines_as_it_takes():
    (sign,) = signs(post(8, EVENTS))
    assert " ".join(sign.events) == " · ".join(EVENTS)
    assert len(sign.events) == 2
    assert sign.name == ("Gannet Rock Strongest, 13 Feb",)


@pytest.mark.parametrize("week", [0, 1, 2, 8, 17])
def test_contests_a_week_apart_both_name_all_their_events_one_under_the_other(week):
    found = signs(*(post(at, EVENTS) for at in {max(0, week - 1), week}))
    for sign in found:
        assert " ".join(sign.name) == "Gannet Rock Strongest, 13 Feb"
        assert " ".join(sign.events) == " · ".join(EVENTS)
        assert sign.left >= 8
        for row, size in [(row, 1.06 * 17) for row in sign.name] + [
            (row, 13) for row in sign.events
        ]:
            assert sign.pole - 9 - width_of(row, size) >= sign.left
    for one in found:
        for two in found:
            apart = one.foot <= two.top or two.foot <= one.top or two.pole <= one.left
            assert one is two or apart or one.pole <= two.left


def test_contests_far_apart_hang_side_by_side():
    one, two = signs(post(3, EVENTS), post(9, EVENTS))
    assert one.top == two.top
    assert one.pole < two.left


def test_two_contests_on_one_weekend_have_a_sign_each():
    saturday = post(8, EVENTS)
    one, two = signs(saturday, replace(saturday, weekday=6, name="Quay Day"))
    assert one.foot < two.top
    assert two.name == ("Quay Day, 13 Feb",)


def test_weeks_begin_below_the_tallest_sign():
    strip = replace(season(), posts=(post(8, EVENTS), post(9, EVENTS)))
    root = ElementTree.fromstring(season_strip_svg(strip, id_prefix="q", week_room=63))
    feet = [
        float(rect.get("y")) + float(rect.get("height"))
        for g in root.iter(SVG + "g") if "post" in (g.get("id") or "")
        for rect in g.iter(SVG + "rect")
    ]  # fmt: skip
    heads = [float(t.get("y")) for t in root.iter(SVG + "text") if t.text == "4 Jan"]
    assert max(feet) < heads[0] - LEAST_PX


def test_no_letter_of_the_strip_is_too_small_to_read():
    root = ElementTree.fromstring(season_strip_svg(season(), id_prefix="q"))
    assert min(float(t.get("font-size")) for t in root.iter(SVG + "text")) >= LEAST_PX


def test_no_pole_crosses_a_name_out():
    """Poles are drawn first; blocks stand before them and let them shine through."""
    root = ElementTree.fromstring(season_strip_svg(season(), id_prefix="q"))
    order = [g.get("id") for g in root.iter(SVG + "g") if g.get("id")]
    assert max(order.index(one) for one in order if "post" in one) < order.index("q-l0-b0")
    shapes = [g.find(SVG + "path") for g in root.iter(SVG + "g") if "-b" in (g.get("id") or "")]
    assert all(0.7 < float(shape.get("fill-opacity")) < 1 for shape in shapes)
