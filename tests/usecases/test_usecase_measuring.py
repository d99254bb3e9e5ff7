"""Measuring bands and athletes, and choosing set-ups: judged first, kept by one verb, undoable."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.catalogue import Implement, LiftKey, Slot
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.resistance import StraightPolicy, TopShareMeaning, fit_band
from heftwright.domain.resistance.bar_path import UnknownBarPathError
from heftwright.domain.squad import AthleteId, BarHeights, ClassTime, Weekday
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
)
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.usecases import clock, maxes, measuring, rigging, squad, taping, timetable, trail
from heftwright.usecases import stock as stocks
from heftwright.usecases.changes import ChangedMeanwhileError, seen
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.measuring import InspectionRefusedError, ReadingsRefusedError
from heftwright.usecases.permissions import ForbiddenError
from heftwright.usecases.rigged_bar import WhatIf, bars_for, peg_heights, rig_with
from heftwright.usecases.rigging import Kinds, Wish
from heftwright.usecases.taping import HeightsRefusedError

TODAY = date(2026, 11, 25)
ADA = AthleteId("ada")
PULL = LiftKey("deadlift")
UP, DOWN = ReadingDirection.UP, ReadingDirection.DOWN


def at(cm, kg, on=TODAY, side=Side.BOTH, way=UP, rig=RigKind.DOUBLED):
    return BandReading(Length.cm(str(cm)), Mass.kg(str(kg)), on, side, way, rig)


def a_band(key="moss", *readings, **more):
    return Band(
        key, f"{key.title()} band", 4, Length.cm(102), readings,
        **{"safe_length": Length.cm(230), "inspected_on": TODAY, **more},
    )  # fmt: skip


COAL = a_band("coal", at(62, 14.1), at(80, 26.0), at(98, 34.8))
SLATE = a_band("slate", at(62, 7.3), at(80, 13.6), at(98, 18.1))


@pytest.fixture
def shed(yard):
    """The yard with bands, chains, pegs, plates, a taped athlete with a max."""
    with clock.held_at(datetime.combine(TODAY, time(18), UTC)):
        stocks.replace_stock(gym=YARD, by=TERMINAL, stock=a_stock())
        ada = squad.get_athlete(gym=YARD, athlete=ADA)
        taped = replace(ada, stature=Length.cm(170), heights=BarHeights(pull_lockout=Length.cm(78)))
        squad.change_athlete(gym=YARD, by=TERMINAL, athlete=taped)
        test = Evidence(ADA, PULL, EvidenceKind.TEST, Mass.kg(200), TODAY)
        maxes.record_max(gym=YARD, by=TERMINAL, evidence=test)
        yield YARD


def a_stock() -> Stock:
    kinds = ((25, 54), (20, 46), (10, 30), (5, 27), (2.5, 20), (1.25, 15))
    return Stock(
        bars=(
            Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5"),
                rating=Mass.kg(160)),
        ),
        plates=tuple(PlatePair(f"p{kg}", Mass.kg(str(kg)), 6, thickness=Length.mm(mm))
                     for kg, mm in kinds),
        bands=(COAL, SLATE, a_band()),
        chains=(Chain("links", "Links", 4, Mass.kg("5.1"), Length.m("1.6"), Mass.kg("0.6"),
                      known_on=date(2026, 8, 30)),),
        blocks=(Block("block-10", Length.cm(10), 2, rating=Mass.kg(120)),),
        platforms=(
            Platform("A", peg_heights=(Length.cm(4), Length.cm(20)), peg_offset=Length.cm(60)),
            Platform("B", peg_heights=(Length.cm(4),), peg_offset=Length.cm(60)),
        ),
    )  # fmt: skip


def tried(*readings, key="moss", rig=RigKind.DOUBLED):
    return measuring.try_readings(gym=YARD, key=key, rig=rig, readings=readings)


# bands


def test_readings_that_are_not_kept_make_a_curve_but_change_nothing(shed):
    found = tried(at(62, 10.9), at(80, 20.2), at(98, 27))
    assert found.is_sound
    assert found.sheet.curve.model.value == "rubber"
    assert measuring.get_band(gym=YARD, key="moss").readings == ()


def test_without_readings_there_is_no_curve_and_a_sentence_why(shed):
    sheet = measuring.band_sheet(gym=YARD, key="moss")
    assert sheet.curve is None
    assert "was never read" in sheet.why_none
    assert measuring.left_out_bands(gym=YARD) == (sheet.why_none,)


@pytest.mark.parametrize(
    ("readings", "row", "words"),
    [
        ((at(62, 10), at(80, 9)), 1, "never pulls less when it is longer"),
        ((at(80, 9), at(62, 10)), 0, "never pulls less when it is longer"),
        ((at(116, 50),), 0, "past its longest safe length of 230 cm"),
        ((at(50, 3),), 0, "no longer than the band hanging loose"),
        ((at(62, 0),), 0, "shows nothing"),
        ((at(62, 9999),), 0, "more than any band pulls"),
        ((at(62, 10), at(62, 11)), 1, "one reading a length is enough"),
    ],
)
def test_a_bad_reading_is_refused_at_its_row(shed, readings, row, words):
    found = tried(*readings)
    assert [fault.row for fault in found.faults] == [row]
    assert words in found.faults[0].why
    with pytest.raises(ReadingsRefusedError, match=words):
        measuring.keep_readings(gym=YARD, by=TERMINAL, key="moss", readings=readings, was_seen=None)
    assert measuring.get_band(gym=YARD, key="moss").readings == ()


def test_the_safe_length_itself_may_be_read(shed):
    assert tried(at(115, 50)).is_sound  # 2 × 115 cm is 230 cm


def test_sound_rows_still_draw_the_curve_beside_a_bad_one(shed):
    found = tried(at(62, 10.9), at(80, 20.2), at(98, 18))
    assert len(found.faults) == 1
    assert len(found.sheet.band.readings) == 2


def test_a_reading_is_held_against_those_kept_today(shed):
    measuring.keep_readings(
        gym=YARD, by=TERMINAL, key="moss", readings=[at(80, 20.2)], was_seen=None
    )
    found = tried(at(90, 19.9))
    assert "never pulls less" in found.faults[0].why
    assert "one reading a length" in tried(at(80, 20)).faults[0].why


def test_a_new_shorter_reading_above_a_kept_longer_one_is_the_one_blamed(shed):
    measuring.keep_readings(
        gym=YARD, by=TERMINAL, key="moss", readings=[at(80, 20.2)], was_seen=None
    )
    assert [fault.row for fault in tried(at(62, 10), at(70, 25)).faults] == [1]


def test_up_and_down_at_one_length_are_two_readings_and_show_hysteresis(shed):
    found = tried(at(62, 10.9), at(80, 20.2), at(80, 19.6, way=DOWN), at(98, 27))
    assert found.is_sound
    assert 2 * found.sheet.curve.hysteresis_kg == pytest.approx(0.3)  # half of 20.2 − 19.6


def test_a_reading_in_the_wrong_unit_is_doubted_not_refused(shed):
    found = tried(at(62, 10.9), at(71, 15.9), at(80, 20.2), at(98, 59.5))  # 27 kg read in pounds
    assert found.is_sound
    assert [doubt.row for doubt in found.doubts] == [3]
    assert "look at the unit" in found.doubts[0].why


def test_more_pull_coming_back_than_stretching_is_doubted(shed):
    found = tried(at(62, 10.5), at(62, 12.0, way=DOWN), at(80, 20.2), at(98, 27))
    (doubt,) = found.doubts
    assert doubt.row == 1
    assert "Coming back it pulled 12 kg, more than the 10.5 kg when stretching" in doubt.why
    assert not tried(at(62, 10.5), at(62, 11.2, way=DOWN), at(80, 20.2), at(98, 27)).doubts


def test_good_readings_raise_no_doubt(shed):
    assert tried(at(62, 10.9), at(71, 15.9), at(80, 20.2), at(98, 27)).doubts == ()


def test_readings_that_contradict_together_are_a_problem_of_the_sheet(shed):
    assert "hardly longer" in tried(at(52, 2)).problem


def test_kept_readings_make_the_curve_the_domain_fits_and_can_be_undone(shed):
    rows = [at(62, 10.9), at(80, 20.2), at(98, 27)]
    measuring.keep_readings(gym=YARD, by=TERMINAL, key="moss", readings=rows, was_seen=None)
    kept = measuring.band_sheet(gym=YARD, key="moss")
    assert kept.curve == fit_band(kept.band, rig=RigKind.DOUBLED)
    line = trail.get_trail(gym=YARD, subject="band/moss", limit=1)[0]
    trail.undo(gym=YARD, by=TERMINAL, act=line.act)
    assert measuring.get_band(gym=YARD, key="moss").readings == ()


def test_keeping_nothing_says_what_to_enter(shed):
    with pytest.raises(ReadingsRefusedError, match="enter a length"):
        measuring.keep_readings(gym=YARD, by=TERMINAL, key="moss", readings=[], was_seen=None)


def test_somebody_elses_change_meanwhile_is_not_lost(shed):
    mark = seen(measuring.get_band(gym=YARD, key="moss"))
    measuring.note_inspection(gym=YARD, by=TERMINAL, key="moss", is_sound=True)
    stocks.change_item(gym=YARD, by=TERMINAL, item=replace(a_band(), pairs=9))
    with pytest.raises(ChangedMeanwhileError, match="changed by somebody else"):
        measuring.keep_readings(
            gym=YARD, by=TERMINAL, key="moss", readings=[at(80, 20)], was_seen=mark
        )


def test_an_assistant_may_look_but_not_keep(shed, people):
    with pytest.raises(ForbiddenError, match="may not"):
        measuring.keep_readings(
            gym=YARD, by=people.assistant, key="moss", readings=[at(80, 20)], was_seen=None
        )


def test_an_older_calibration_shows_the_drift(shed):
    old = TODAY - timedelta(days=200)
    before = tuple(at(cm, kg, on=old) for cm, kg in ((62, 15.0), (80, 28.0), (98, 38.0)))
    stocks.change_item(
        gym=YARD, by=TERMINAL, item=replace(COAL, readings=(*before, *COAL.readings))
    )
    newest, older = measuring.band_sheet(gym=YARD, key="coal").sessions
    assert newest.drift_ratio is None
    assert older.drift_ratio == pytest.approx(0.93, abs=0.02)  # 34.8 of 38 kg, 26 of 28, 14.1 of 15


def test_a_worn_band_is_retired_from_today_and_blocked(shed):
    measuring.note_inspection(gym=YARD, by=TERMINAL, key="coal", is_sound=False)
    sheet = measuring.band_sheet(gym=YARD, key="coal")
    assert any("do not use it" in stop for stop in sheet.stops)
    assert any("Coal band" in why for why in measuring.left_out_bands(gym=YARD))


def test_a_sound_band_has_todays_inspection(shed):
    stocks.change_item(
        gym=YARD, by=TERMINAL, item=replace(COAL, inspected_on=TODAY - timedelta(days=300))
    )
    assert measuring.band_sheet(gym=YARD, key="coal").stops
    measuring.note_inspection(gym=YARD, by=TERMINAL, key="coal", is_sound=True)
    assert measuring.band_sheet(gym=YARD, key="coal").stops == ()


def test_a_retired_band_is_not_looked_sound_again(shed):
    measuring.note_inspection(gym=YARD, by=TERMINAL, key="coal", is_sound=False)
    with pytest.raises(InspectionRefusedError, match="no look makes it sound again"):
        measuring.note_inspection(gym=YARD, by=TERMINAL, key="coal", is_sound=True)
    assert measuring.get_band(gym=YARD, key="coal").retire_on == TODAY


def test_no_such_band_is_said(shed):
    with pytest.raises(NotFoundError, match="There is no band"):
        measuring.band_sheet(gym=YARD, key="none")


# heights


def tape(**heights):
    return BarHeights(**{name: Length.cm(cm) for name, cm in heights.items()})


def tape_sheet(typed=None):
    ada = squad.get_athlete(gym=YARD, athlete=ADA)
    return taping.tape_sheet(gym=YARD, athlete=ada, typed=typed)


def rows_of(sheet):
    return {row.name: row for row in sheet.rows}


def test_untaped_heights_come_from_stature_with_their_standard_error(shed):
    row = rows_of(tape_sheet())["overhead"]
    # ANSUR II regression for women, checks.md part B: 1.3233 · 1700 − 195.4 mm, SEE 39.7 mm
    assert row.known.height_m == pytest.approx(2.0542, abs=1e-4)
    assert row.known.sd_m == pytest.approx(0.0397)


def test_the_worth_of_a_height_is_what_the_strongest_band_does_with_its_error(shed):
    row = rows_of(tape_sheet(BarHeights()))["pull_lockout"]
    assert row.worth_rig
    assert 0 < row.worth_kg < 5


def test_squat_and_bench_have_no_number_until_they_are_taped(shed):
    rows = rows_of(tape_sheet())
    assert rows["squat_top"].known is None
    assert rows["bench_bottom"].worth_kg == 0
    assert "Box squat" in rows["squat_top"].lifts


def test_heights_in_the_wrong_order_are_refused(shed):
    crossed = tape(squat_top=90, squat_bottom=130)
    sheet = tape_sheet(crossed)
    assert "must be above" in sheet.faults["squat_top"]
    with pytest.raises(HeightsRefusedError, match="Nothing was kept"):
        taping.keep_heights(
            gym=YARD, by=TERMINAL, athlete=ADA, heights=crossed, was_seen=None, is_confirmed=True
        )


@pytest.mark.parametrize(
    ("heights", "name"),
    [
        (tape(pull_lockout=60), "pull_lockout"),
        (tape(overhead=120), "overhead"),
        (tape(squat_top=140, squat_bottom=135), "squat_top"),
        (tape(bench_top=150, bench_bottom=70), "bench_top"),
    ],
)
def test_a_height_far_from_the_likely_is_asked_about_once(shed, heights, name):
    sheet = tape_sheet(heights)
    assert name in sheet.doubts
    with pytest.raises(HeightsRefusedError, match="look at the unit"):
        taping.keep_heights(gym=YARD, by=TERMINAL, athlete=ADA, heights=heights, was_seen=None)
    taping.keep_heights(
        gym=YARD, by=TERMINAL, athlete=ADA, heights=heights, was_seen=None, is_confirmed=True
    )
    assert squad.get_athlete(gym=YARD, athlete=ADA).heights == heights


def test_a_height_that_nobody_has_is_refused_even_when_confirmed(shed):
    heights = tape(pull_lockout="31.5")
    assert tape_sheet(heights).doubts == {}
    with pytest.raises(HeightsRefusedError, match=r"Pull lockout 31\.5 cm is not"):
        taping.keep_heights(
            gym=YARD, by=TERMINAL, athlete=ADA, heights=heights, was_seen=None, is_confirmed=True
        )


def test_likely_heights_are_kept_at_once(shed):
    heights = tape(pull_lockout=78, squat_top=142, squat_bottom=88, bench_top=118, bench_bottom=76)
    assert not tape_sheet(heights).doubts
    taping.keep_heights(gym=YARD, by=TERMINAL, athlete=ADA, heights=heights, was_seen=None)
    assert squad.get_athlete(gym=YARD, athlete=ADA).heights == heights


# set-ups


def known():
    return Gathered(YARD, TODAY)


def sheet_for(wish=None, lift=PULL):
    return rigging.rigs_for(known=known(), athlete=ADA, lift=lift, wish=wish or Wish())


def test_the_first_rig_gives_the_wanted_share_of_the_max(shed):
    sheet = sheet_for()
    best = sheet.lines[0]
    assert best.choice.is_within
    assert best.share_ratio == pytest.approx(best.choice.top_kg / sheet.max_kg)
    assert 0.22 <= best.share_ratio <= 0.28
    assert best.bar_kg == pytest.approx(0.5 * sheet.max_kg)


@pytest.mark.parametrize("meaning", list(TopShareMeaning))
def test_under_every_meaning_bar_and_rig_give_back_the_written_load_and_share(shed, meaning):
    wish = Wish(0.8, 0.25, 0.05, meaning, Kinds.BOTH)
    sheet = sheet_for(wish)
    line = sheet.lines[0]
    added = line.choice.mean_kg if meaning.is_on_average else line.choice.top_kg
    written = line.bar_kg + (0 if meaning.load_is_bar else added)
    assert written == pytest.approx(0.8 * sheet.max_kg)
    whole = {
        "max_added": sheet.max_kg,
        "max_inside": sheet.max_kg,
        "bar_load": line.bar_kg,
    }.get(meaning.value, line.bar_kg + added)
    assert line.share_ratio == pytest.approx(added / whole)
    assert line.choice.is_within
    assert len(sheet.meanings) == 5


def test_pegs_that_only_one_platform_has_make_a_rig_free_once(shed):
    low = next(line for line in sheet_for().lines if "pegs at 4 cm" in line.setup.name)
    high = next(line for line in sheet_for().lines if "pegs at 20 cm" in line.setup.name)
    assert low.free == 2
    assert high.free == 1


@pytest.mark.parametrize(("kinds", "has_bands", "has_chains"), [
    (Kinds.BANDS, True, False), (Kinds.CHAINS, False, True),
])  # fmt: skip
def test_only_what_was_asked_for_is_offered(shed, kinds, has_bands, has_chains):
    for line in sheet_for(Wish(kinds=kinds)).lines:
        assert bool(line.setup.band_parts) == has_bands
        assert bool(line.setup.chain_parts) == has_chains


def test_a_band_that_was_never_read_is_left_out_with_a_sentence(shed):
    assert any("Moss band" in why for why in sheet_for().left_out)


def test_a_missing_height_says_what_to_tape(shed):
    with pytest.raises(UnknownBarPathError, match="tape the bar"):
        sheet_for(lift=LiftKey("box_squat"))


def test_a_class_that_is_not_in_the_timetable_is_said(shed):
    with pytest.raises(NotFoundError, match="no class"):
        rigging.rigs_for_class(known=known(), class_key="sun", lift=PULL, wish=Wish())


def test_nobody_of_that_name_is_said(shed):
    with pytest.raises(NotFoundError, match="no athlete"):
        rigging.rigs_for(known=known(), athlete=AthleteId("zed"), lift=PULL, wish=Wish())


def rigged(what_if=None, wish=None):
    wish, what_if = wish or Wish(), what_if or WhatIf()
    sheet = sheet_for(wish)
    key = sheet.lines[0].setup.key
    return rig_with(known=known(), sheet=sheet, setup_key=key, wish=wish, what_if=what_if)


def test_the_bar_is_the_heaviest_that_is_not_above_the_written_load(shed):
    found = rigged()
    assert found.wanted.in_kg == pytest.approx(0.5 * sheet_for().max_kg, abs=1e-3)
    assert found.loaded.mass <= found.wanted < found.loaded.mass + Mass.kg("2.5")
    assert found.curve.bar_kg[0] == found.loaded.mass.in_kg
    assert found.is_within


def test_a_bar_that_ends_far_below_what_is_asked_says_so(shed):
    found = rigged(WhatIf(load=Mass.kg(2000)))
    assert any(
        f"Only {found.loaded.mass} of the 2000 kg asked for goes on Bar" in n for n in found.notes
    )
    assert not any("asked for" in note for note in rigged(WhatIf(load=Mass.kg(101))).notes)


def test_pegs_are_nothing_to_chains_and_that_is_said(shed):
    chains = Wish(share_ratio=0.08, kinds=Kinds.CHAINS)
    found = rigged(WhatIf(peg=Length.cm(20)), chains)
    assert any("with chains alone they change nothing" in note for note in found.notes)
    assert not any("change nothing" in note for note in rigged(WhatIf(peg=Length.cm(20))).notes)


def test_nothing_changed_shows_no_change(shed):
    assert rigged().change is None


def test_higher_pegs_take_load_off_everywhere(shed):
    found = rigged(WhatIf(peg=Length.cm(20)))
    assert found.change.top_kg < 0
    assert found.change.bottom_kg < 0
    assert "pegs at 20 cm" in found.setup.name
    assert not found.is_within


def test_blocks_raise_the_start_and_their_rating_is_held_against_the_top(shed):
    found = rigged(WhatIf(raised=Length.cm(10)))
    assert found.curve.heights_m[0] == pytest.approx(0.325)  # 225 mm disc radius + 10 cm
    assert any("Block “block-10” is rated for 120 kg" in stop for stop in found.stops)


def test_blocks_that_are_not_in_stock_are_said(shed):
    assert any(
        "No pair of blocks 12 cm" in note for note in rigged(WhatIf(raised=Length.cm(12))).notes
    )


def test_the_bars_rating_is_held_against_the_top_with_the_bands(shed):
    found = rigged(WhatIf(load=Mass.kg(125)))
    assert any("rated for 160 kg; the whole load comes to" in stop for stop in found.stops)
    assert rigged().stops == ()


def test_a_load_far_over_the_max_is_flagged(shed):
    assert any("of the max: check" in note for note in rigged(WhatIf(load=Mass.kg(225))).notes)


def test_a_doubled_band_laid_single_pulls_less(shed):
    found = rigged(WhatIf(way=RigKind.SINGLE))
    assert found.change.top_kg < 0


def test_a_bar_on_the_floor_lies_on_its_plates_and_is_not_stripped_side_by_side(shed):
    assert rigged(WhatIf(load=Mass.kg(125))).stripping is None


def in_the_rack(kg):
    """The box squat of a taped athlete."""
    squat, ada = LiftKey("box_squat"), squad.get_athlete(gym=YARD, athlete=ADA)
    heights = replace(ada.heights, squat_top=Length.cm(140), squat_bottom=Length.cm(85))
    squad.change_athlete(gym=YARD, by=TERMINAL, athlete=replace(ada, heights=heights))
    test = Evidence(ADA, squat, EvidenceKind.TEST, Mass.kg(200), TODAY)
    maxes.record_max(gym=YARD, by=TERMINAL, evidence=test)
    sheet = sheet_for(lift=squat)
    what_if, key = WhatIf(load=Mass.kg(kg)), sheet.lines[0].setup.key
    return rig_with(known=known(), sheet=sheet, setup_key=key, wish=Wish(), what_if=what_if)


def test_stripping_stays_below_tipping_and_takes_every_plate(shed):
    found = in_the_rack(125)
    assert len(found.stripping.steps) == len(found.loaded.left + found.loaded.right)
    assert 0 < found.stripping.used_ratio < 1


def test_a_plate_too_heavy_to_come_off_one_side_is_said_not_hidden(shed):
    heavy = PlatePair("p60", Mass.kg(60), 1, thickness=Length.mm(100))
    stocks.replace_stock(gym=YARD, by=TERMINAL, stock=replace(a_stock(), plates=(heavy,)))
    assert "tips the bar" in in_the_rack(150).stripping.problem


def test_straight_weight_instead_is_offered_three_ways(shed):
    found = rigged()
    straight = dict(found.straight)
    assert straight[StraightPolicy.SAME_TOP] == found.curve.top_kg
    assert straight[StraightPolicy.SAME_BOTTOM] == found.curve.bottom_kg
    assert straight[StraightPolicy.SAME_BOTTOM] < straight[StraightPolicy.SAME_MEAN]
    assert straight[StraightPolicy.SAME_MEAN] < straight[StraightPolicy.SAME_TOP]


def test_a_rig_that_is_gone_is_said(shed):
    with pytest.raises(NotFoundError, match="choose again"):
        rig_with(known=known(), sheet=sheet_for(), setup_key="x", wish=Wish(), what_if=WhatIf())


def test_a_lift_without_its_bar_is_said(shed):
    stocks.remove_item(gym=YARD, by=TERMINAL, kind=stocks.RecordKind.BAR, key="bar")
    with pytest.raises(NotFoundError, match="add it with its mass"):
        rigged()


def test_pegs_and_bars_are_listed_for_the_form(shed):
    assert peg_heights(known()) == (Length.cm(4), Length.cm(20))
    assert [bar.key for bar in bars_for(known(), PULL)] == ["bar"]


def test_a_class_sees_for_whom_each_rig_is_and_who_has_none(shed):
    timetable.add_class_time(
        gym=YARD, by=TERMINAL,
        class_time=ClassTime(
            "mon", Weekday.MONDAY, time(18), 90, Slot.DYNAMIC_LOWER, "",
            (ADA, AthleteId("bo")),
        ),
    )  # fmt: skip
    found = rigging.rigs_for_class(known=known(), class_key="mon", lift=PULL, wish=Wish())
    first, second = found.lines
    assert first.best.setup.key == sheet_for().lines[0].setup.key
    assert second.best is None
    assert "tape the bar" in second.why_none
    assert [person.id for person in found.rigs[0].suits] == [ADA]


def test_a_share_nothing_can_give_is_said_for_everybody(shed):
    timetable.add_class_time(
        gym=YARD, by=TERMINAL,
        class_time=ClassTime("mon", Weekday.MONDAY, time(18), 90, Slot.DYNAMIC_LOWER, "", (ADA,)),
    )  # fmt: skip
    found = rigging.rigs_for_class(
        known=known(), class_key="mon", lift=PULL, wish=Wish(share_ratio=0.9, slack_ratio=0.01)
    )
    assert found.rigs == ()
    assert "No bands in stock give" in found.lines[0].why_none


def test_a_share_that_leaves_no_bar_is_refused(shed):
    with pytest.raises(Refusal, match="use lighter bands"):
        sheet_for(Wish(0.2, 0.3, 0.03, TopShareMeaning.MAX_INSIDE))
