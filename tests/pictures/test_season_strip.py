"""The season strip, wide and on the phone."""

from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import pytest
from picture_samples import season

from heftwright.domain.sheet import SeasonStrip, StripBlock, StripLane, StripWeek
from heftwright.pictures.season_parts import SeasonStripError
from heftwright.pictures.season_phone import season_strip_phone_svg
from heftwright.pictures.season_strip import season_strip_svg
from heftwright.pictures.season_words import block_words, post_words, season_strip_table

SVG = "{http://www.w3.org/2000/svg}"
drawn = pytest.mark.parametrize("draw", [season_strip_svg, season_strip_phone_svg])


def tree(draw, strip):
    return ElementTree.fromstring(draw(strip, id_prefix="q"))


def groups(root):
    return {g.get("id"): g for g in root.iter(SVG + "g")}


def points(shape):
    return [
        tuple(float(part) for part in point.split())
        for point in shape.get("d").replace("Z", "").replace("M", "L").split("L")[1:]
    ]


@drawn
def test_every_block_and_contest_can_be_reached_and_tells_why(draw):
    strip = season()
    found = groups(tree(draw, strip))
    blocks = sum(len(lane.blocks) for lane in strip.lanes)
    assert len(found) == blocks + len(strip.posts)
    for group in found.values():
        assert group.get("tabindex") == "0"
        assert group.find(SVG + "title").text == group.get("aria-label")
    wave = found["q-l2-b0"].get("aria-label")
    assert wave == (
        "Box squat, 3 weeks from 4 Jan: bands to 25 %, 10 × 2. Done. Three-week wave (two before "
        "the contest). Bands change with every wave. Runner-up: Straight weight, 0.8 points worse."
    )


@drawn
def test_a_picture_that_can_be_walked_through_is_a_group_not_an_image(draw):
    root = tree(draw, season())
    assert root.get("role") == "group"
    assert root.find(SVG + "title").text == "The season, 18 weeks, plan version 7"


def test_a_wave_rises_from_left_to_right():
    wave = groups(tree(season_strip_svg, season()))["q-l2-b0"]
    cap = points(wave.findall(SVG + "path")[1])
    heights = [y for _, y in cap][::2]
    assert heights == sorted(heights, reverse=True)
    assert len(set(heights)) == 3


def test_an_easy_week_dips_below_the_ground_of_its_neighbours():
    found = groups(tree(season_strip_svg, season()))
    foot = {
        week: max(y for _, y in points(found[f"q-l0-b{week}"].find(SVG + "path")))
        for week in (5, 6, 7)
    }
    assert foot[6] > foot[5] == foot[7]


def test_a_contest_stands_through_all_lanes_on_its_day():
    root = tree(season_strip_svg, season())
    pole = points(groups(root)["q-post0"].find(SVG + "path"))
    (x, top), (same_x, bottom) = pole
    assert x == same_x
    assert top < 10
    assert bottom > float(root.get("height")) - 20
    head = {t.text: float(t.get("x")) for t in root.iter(SVG + "text")}
    assert head["29 Mar"] < x < head["5 Apr"]


def test_on_the_phone_weeks_run_downward_inside_390_px():
    root = tree(season_strip_phone_svg, season())
    assert float(root.get("width")) <= 390
    tops = [float(t.get("y")) for t in root.iter(SVG + "text") if t.text in {"4 Jan", "3 May"}]
    assert tops[0] < tops[1]


@drawn
def test_done_and_pinned_are_drawn_as_signs_not_only_as_colours(draw):
    plain = StripBlock(0, 1, "Log press", "", (0.9,))
    week = (StripWeek(date(2027, 1, 4), "normal"),)

    def shapes(block):
        strip = SeasonStrip(week, (StripLane("a", "Max-effort upper", (block,)),), (), None, 1)
        return len(list(tree(draw, strip).iter(SVG + "path")))

    assert shapes(replace(plain, is_done=True)) == shapes(plain) + 1
    assert shapes(replace(plain, is_pinned=True)) == shapes(plain) + 1


@drawn
@pytest.mark.parametrize(
    "block",
    [
        StripBlock(17, 2, "Box squat", "", (0.5, 0.6)),
        StripBlock(0, 3, "Box squat", "", (0.5, 0.6)),
        StripBlock(-1, 1, "Box squat", "", (0.5,)),
    ],
)
def test_a_block_outside_its_weeks_is_refused(draw, block):
    strip = replace(season(), lanes=(StripLane("a", "Lower", (block,)),))
    with pytest.raises(SeasonStripError, match="one step for each of its weeks"):
        draw(strip, id_prefix="q")


def test_a_contest_outside_the_weeks_is_refused():
    strip = season()
    with pytest.raises(SeasonStripError, match="“Quarry Games” lies outside"):
        season_strip_svg(replace(strip, posts=(replace(strip.posts[0], week=40),)), id_prefix="q")


@drawn
def test_an_empty_season_is_still_a_picture(draw):
    root = tree(draw, SeasonStrip((), (), (), None, 1))
    assert root.find(SVG + "title").text.startswith("The season, 0 weeks")


def test_the_table_says_the_same_week_by_week():
    table = season_strip_table(season())
    assert table.columns[2:] == (
        "Max-effort lower", "Max-effort upper", "Dynamic-effort lower", "Dynamic-effort upper",
        "Contests",
    )  # fmt: skip
    assert table.rows[5][0] == "8 Feb (this week)"
    assert table.rows[1][4] == "Box squat (2 of 3), done"
    assert table.rows[12] == ("29 Mar", "contest", "–", "–", "–", "–", "Quarry Games")
    assert table.rows[8][3] == "Close-grip bench press, pinned"


def test_a_contest_tells_its_events_and_who_goes():
    main, other = season().posts
    assert post_words(main) == (
        "Quarry Games, 3 Apr 2027, the main contest: log for reps, deadlift medley, yoke 20 m, "
        "stones. 9 athletes go."
    )
    assert "1 athlete goes." in post_words(replace(other, entrants=1))
    assert "events not entered yet" in post_words(replace(other, events=()))


def test_a_single_week_is_said_as_one():
    block = StripBlock(0, 1, "Log press", "", (0.9,))
    assert block_words(season(), block) == "Log press, week of 4 Jan."


def test_on_the_phone_a_block_of_a_contest_week_ends_above_the_contests_bars():
    strip = season()
    late = StripBlock(12, 1, "Openers", "", (0.6,))
    posts = (strip.posts[0], replace(strip.posts[0], name="Second day"))
    one = replace(strip, lanes=(StripLane("a", "Lower", (late,)),), posts=posts)
    found = groups(tree(season_strip_phone_svg, one))
    foot = max(y for _, y in points(found["q-l0-b0"].find(SVG + "path")))
    bars = [float(found[f"q-post{n}"].find(SVG + "rect").get("y")) for n in (0, 1)]
    assert foot < bars[0] < bars[1]
