"""A class of the demo gym as it runs: start, late, missed, broken, moved; shown, taken, undone."""

from __future__ import annotations

from datetime import datetime

import pytest
from bench.play_class import Player
from demo_monday import BY, GYM, MONDAY, OF

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.floor.by_hand import HandMoveError
from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.sheet.live import ClassClockError, Phase
from heftwright.domain.squad import AthleteId
from heftwright.store.models import AttendanceState
from heftwright.usecases import (
    attendance,
    classes,
    clock,
    floor_drafts,
    floor_terms,
    floor_times,
)
from heftwright.usecases.live_class import (
    LiveClassError,
    get_class_clock,
    get_turns,
    mark_round,
    start_class,
    take_back_start,
)
from heftwright.usecases.timetable import get_class_time


@pytest.fixture
def running(evening):
    """The class began four minutes late."""
    with evening(14):
        start_class(OF, by=BY)
    return evening


def places(sheet):
    return {line.athlete: item.key for item in sheet.platforms for line in item.lifters}


def some_lifter():
    return OF.planned().sheet.platforms[0].lifters[0]


def test_before_the_start_the_timetable_is_the_clock(evening):
    with evening(0):
        turns = get_turns(OF, OF.planned().sheet)
    assert {turn.phase for turn in turns.values()} == {Phase.BEFORE}


def test_at_the_start_the_first_sets_begin_at_once(running):
    with running(14.1):
        turns = get_turns(OF, OF.planned().sheet)
    assert all(turn.phase is Phase.LIFTING and turn.set_number == 1 for turn in turns.values())


def test_a_class_starts_once_and_the_start_can_be_taken_back(running):
    with running(15):
        with pytest.raises(LiveClassError, match="runs already"):
            start_class(OF, by=BY)
        take_back_start(OF, by=BY)
        assert get_class_clock(OF) is None
        first = OF.planned().sheet.platforms[0]
        with pytest.raises(LiveClassError, match="has not begun"):
            mark_round(OF, by=BY, platform=first.key, done_sets=1)


def test_a_mark_sets_one_platform_right_and_no_other(running):
    first, other = OF.planned().sheet.platforms[:2]
    with running(18):
        before = get_turns(OF, OF.planned().sheet)
        mark_round(OF, by=BY, platform=first.key, done_sets=3)
        after = get_turns(OF, OF.planned().sheet)
    assert after[first.key].set_number == 4
    assert after[other.key] == before[other.key]


def test_a_mark_beyond_the_last_round_or_off_the_floor_is_refused(running):
    first = OF.planned().sheet.platforms[0]
    with running(18):
        with pytest.raises(ClassClockError, match="rounds, not 99"):
            mark_round(OF, by=BY, platform=first.key, done_sets=99)
        with pytest.raises(NotFoundError, match="Nobody lifts on platform Z9"):
            mark_round(OF, by=BY, platform="Z9", done_sets=1)


def test_somebody_goes_home_the_others_stay_and_what_is_done_stays_done(running):
    before, gone = OF.planned().sheet, some_lifter().athlete
    with running(22):
        turns = get_turns(OF, before)
        attendance.mark_attendance(
            gym=GYM, by=BY, class_key=OF.key, states={gone: AttendanceState.AWAY}
        )
        draft = floor_drafts.propose_people(OF, by=BY)
        assert OF.planned().sheet.plan_version == before.plan_version  # shown, not yet taken
        assert any("is off the floor" in words for words in draft.changes)
        sheet = floor_drafts.take_draft(OF, by=BY)
        after = get_turns(OF, sheet)
    was, now = places(before), places(sheet)
    moved = [who for who in now if now[who] != was[who]]
    assert gone not in now
    assert len(moved) <= len(now) / 4
    for key, turn in after.items():
        assert turn.set_number >= turns[key].set_number


def test_a_platform_whose_group_stays_goes_on_at_the_very_same_turn(running):
    before, gone = OF.planned().sheet, some_lifter().athlete
    with running(22):
        turns = get_turns(OF, before)
        attendance.mark_attendance(
            gym=GYM, by=BY, class_key=OF.key, states={gone: AttendanceState.AWAY}
        )
        floor_drafts.propose_people(OF, by=BY)
        sheet = floor_drafts.take_draft(OF, by=BY)
        after = get_turns(OF, sheet)
    same = [
        item.key
        for item in sheet.platforms
        for old in before.platforms
        if old.key == item.key
        and [(one.athlete, one.load) for one in old.lifters]
        == [(one.athlete, one.load) for one in item.lifters]
    ]
    assert same
    for key in same:
        now, then = after[key], turns[key]
        assert (now.now.athlete, now.set_number) == (then.now.athlete, then.set_number)
        assert abs((now.changes_at - then.changes_at).total_seconds()) < 1


def test_a_late_arrival_joins_for_the_sets_that_are_left(evening):
    late = some_lifter().athlete
    with evening(5):
        attendance.mark_attendance(
            gym=GYM, by=BY, class_key=OF.key, states={late: AttendanceState.AWAY}
        )
        classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
        start_class(OF, by=BY)
    with evening(13):
        attendance.mark_attendance(
            gym=GYM, by=BY, class_key=OF.key, states={late: AttendanceState.LATE}, minutes_late=13
        )
        draft = floor_drafts.propose_people(OF, by=BY)
        sheet = floor_drafts.take_draft(OF, by=BY)
    platform, _ = sheet.line_of(late)
    assert any("joins platform" in words for words in draft.changes)
    assert 1 <= platform.done_sets < platform.sets


def test_after_a_missed_set_the_rest_is_proposed_lighter(running):
    line = some_lifter()
    with running(20):
        draft = floor_drafts.propose_after_miss(OF, by=BY, athlete=line.athlete)
        sheet = floor_drafts.take_draft(OF, by=BY)
    assert line.name in draft.title
    assert "kg" not in draft.title  # the load that the platform can make stands among the changes
    lowered = sheet.line_of(line.athlete)[1].load
    assert lowered.in_kg <= 0.955 * line.load.in_kg
    assert "After a missed set" in " ".join(sheet.line_of(line.athlete)[1].reasons)


def test_lighter_is_five_percent_down_to_the_half():
    from heftwright.domain.mass import Mass

    assert str(floor_drafts.lighter(Mass.kg(100), MassUnit.KG)) == "95 kg"
    assert str(floor_drafts.lighter(Mass.kg("97.5"), MassUnit.KG)) == "92.5 kg"


def test_a_broken_band_is_not_on_the_floor_again_tonight(running):
    used = next((item.rig for item in OF.planned().sheet.platforms if item.rig), "")
    if not used:
        pytest.skip("the season has no bands on this Monday")
    band = broken_band()
    with running(20):
        draft = floor_drafts.propose_broken_band(OF, by=BY, band=band)
        sheet = floor_drafts.take_draft(OF, by=BY)
        again = classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
    assert "out of use" in draft.title
    assert OF.planned().tonight.broken_bands == (band,)
    pairs = stock_pairs(band) - 1
    for planned in (sheet, again):
        assert pairs_in_use(planned, band) <= pairs


def broken_band():
    from heftwright.usecases.stock import get_stock

    names = " ".join(item.rig for item in OF.planned().sheet.platforms)
    return next(band.key for band in get_stock(gym=GYM).bands if band.name in names)


def stock_pairs(band):
    from heftwright.usecases.stock import get_stock

    return next(item.pairs for item in get_stock(gym=GYM).bands if item.key == band)


def pairs_in_use(sheet, band):
    from heftwright.usecases.stock import get_stock

    name = next(item.name for item in get_stock(gym=GYM).bands if item.key == band)
    return sum(name in item.rig for item in sheet.platforms)


def moves_that_can_be_made():
    sheet = OF.planned().sheet
    for item in sheet.platforms:
        for line in item.lifters:
            for other in sheet.platforms:
                if other.key != item.key and len(item.lifters) > 2:
                    yield line.athlete, other.key


def test_the_coach_moves_somebody_sees_the_cost_takes_it_and_takes_it_back(evening):
    before = OF.planned().sheet
    with evening(-60):
        for athlete, platform in moves_that_can_be_made():
            try:
                draft = floor_drafts.propose_move(OF, by=BY, athlete=athlete, platform=platform)
            except HandMoveError:
                continue
            break
        else:
            pytest.fail("nobody can be moved on this floor")
        assert "done" in draft.cost_words
        assert len(draft.changes) >= 1
        sheet = floor_drafts.take_draft(OF, by=BY)
        assert places(sheet)[athlete] == platform
        kept = classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
        assert places(kept)[athlete] == platform  # by hand stays by hand
        floor_drafts.put_back_plan(OF, by=BY)
        floor_drafts.put_back_plan(OF, by=BY)
    others = {who: at for who, at in places(sheet).items() if who != athlete}
    assert others == {who: at for who, at in places(before).items() if who != athlete}


def test_another_turn_is_shown_with_its_cost(evening):
    item = max(OF.planned().sheet.platforms, key=lambda one: len(one.lifters))
    last = item.lifters[-1].athlete
    with evening(-60):
        draft = floor_drafts.propose_turn(OF, by=BY, athlete=last, turn=1)
        sheet = floor_drafts.take_draft(OF, by=BY)
    assert any("turns are now" in words for words in draft.changes)
    here = next(one for one in sheet.platforms if one.key == item.key)
    assert here.lifters[0].athlete == last


def test_a_draft_of_an_older_plan_cannot_be_taken(evening):
    item = OF.planned().sheet.platforms[0]
    with evening(-60):
        draft = floor_drafts.propose_people(OF, by=BY)
        from heftwright.store import floor_rows
        from heftwright.store.gym_rows import find_gym

        classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
        floor_rows.write(find_gym(GYM), draft)
        with pytest.raises(LiveClassError, match="plan changed since"):
            floor_drafts.take_draft(OF, by=BY)
        assert floor_drafts.get_draft(OF) is None
        with pytest.raises(LiveClassError, match="No change waits"):
            floor_drafts.take_draft(OF, by=BY)
    assert item.lifters


def test_a_draft_that_is_left_leaves_the_plan_as_it_is(evening):
    version = OF.planned().sheet.plan_version
    with evening(-60):
        floor_drafts.propose_people(OF, by=BY)
        floor_drafts.leave_draft(OF, by=BY)
    assert floor_drafts.get_draft(OF) is None
    assert OF.planned().sheet.plan_version == version


def test_another_scheme_is_shown_against_the_clock_and_taken_before_the_start(evening):
    lines = OF.planned().sheet.schemes
    assert sum(line.is_recommended for line in lines) == 1
    assert sum(line.is_chosen for line in lines) == 1
    assert all("set-ups" in line.words for line in lines)
    other = next(line.scheme for line in lines if not line.is_chosen)
    with evening(-60):
        floor_drafts.propose_scheme(OF, by=BY, scheme=other)
        sheet = floor_drafts.take_draft(OF, by=BY)
        assert max(line.scheme.sets for item in sheet.platforms for line in item.lifters) == (
            other.sets
        )
        start_class(OF, by=BY)
        with pytest.raises(LiveClassError, match="The class runs"):
            floor_drafts.propose_scheme(OF, by=BY, scheme=other)


def test_half_the_class_squats_while_the_others_pull(evening):
    lifters = [line.athlete for item in OF.planned().sheet.platforms for line in item.lifters]
    half = tuple(lifters[: len(lifters) // 2])
    with evening(-60):
        was = OF.planned().sheet
        draft = floor_drafts.propose_lift(OF, by=BY, athletes=half, lift=LiftKey("box_squat"))
        sheet = floor_drafts.take_draft(OF, by=BY)
    for athlete in half:
        if found := sheet.line_of(athlete):
            before = was.line_of(athlete)[1].lift_name
            line = found[1]
            assert f"{line.name} does {line.lift_name} instead of {before}." in draft.changes
    named = {line.athlete: line.lift_name for item in sheet.platforms for line in item.lifters}
    told = " ".join(who.why for who in sheet.unplaced)
    for athlete in half:
        assert "squat" in named.get(athlete, "squat").lower(), told
    for item in sheet.platforms:
        squats = {"squat" in line.lift_name.lower() for line in item.lifters}
        assert len(squats) == 1  # racks to the one half, the floor to the other


def test_people_who_must_not_share_a_platform_never_do(evening):
    item = max(OF.planned().sheet.platforms, key=lambda one: len(one.lifters))
    one, two = (line.athlete for line in item.lifters[:2])
    with evening(-60):
        floor_terms.change_floor_wish(gym=GYM, by=BY, wish=FloorWish(one, apart=(two,)))
        assert floor_terms.get_floor_wish(gym=GYM, athlete=one).apart == (two,)
        sheet = classes.plan_class(
            gym=GYM, class_key="mon-1830", on=MONDAY, by=BY, keep_close=False
        )
    assert places(sheet).get(one) != places(sheet).get(two)


def test_a_wish_about_somebody_unknown_is_refused(evening):
    with evening(-60), pytest.raises(NotFoundError):
        floor_terms.change_floor_wish(
            gym=GYM, by=BY, wish=FloorWish(some_lifter().athlete, apart=(AthleteId("nobody"),))
        )


def test_the_gyms_own_warm_up_moves_the_first_set(evening):
    with evening(-60):
        floor_terms.change_floor_terms(gym=GYM, by=BY, terms=FloorTerms(warm_up_min=20))
        sheet = classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
    firsts = [item.finish_min - item.left_s / 60 for item in sheet.platforms]
    assert min(firsts) == pytest.approx(20)
    assert any("18:50" in words for words in sheet.floor_words)


def test_the_evening_is_told_from_the_warm_up_to_the_circuit(evening):
    words = " ".join(OF.planned().sheet.floor_words)
    assert "18:30 warm-up" in words
    assert "then the circuit until" in words
    assert "plate moves against" in words


def test_everybody_who_counts_as_present_is_planned_after_all_that(evening):
    class_time = get_class_time(gym=GYM, key="mon-1830")
    with evening(0):
        people = classes.who_comes(GYM, class_time, MONDAY)
        sheet = classes.plan_class(gym=GYM, class_key="mon-1830", on=MONDAY, by=BY)
    seen = set(places(sheet)) | {who.athlete for who in sheet.unplaced}
    assert seen == set(people)


def test_a_load_is_changed_in_the_middle_for_the_rest_only(running):
    line = some_lifter()
    with running(24):
        done = get_turns(OF, OF.planned().sheet)
        load = EnteredMass(round(line.load.in_kg * 0.8) * 1000, MassUnit.KG)
        floor_drafts.propose_load(OF, by=BY, athlete=line.athlete, load=load, why="sore hip")
        sheet = floor_drafts.take_draft(OF, by=BY)
    platform, after = sheet.line_of(line.athlete)
    assert 0 <= load.mass.in_kg - after.load.in_kg < 5  # the nearest below that can be made
    assert platform.done_sets >= done[platform.key].set_number - 1 > 0


def test_a_whole_class_is_played_minute_by_minute_and_nothing_impossible_happens(evening):
    """Late arrival, failed set, broken band, a move by hand; then the log teaches the times."""
    begins = datetime(2026, 11, 30, 18, 30, tzinfo=clock.zone(GYM))
    told = []
    played = Player(OF, told.append).play(begins)
    assert played.faults == []
    assert played.missed == 1
    assert any("out of use" in title for title in played.titles) or not any(
        item.rig for item in OF.planned().sheet.platforms
    )
    assert len(played.titles) >= 3
    sheet = OF.planned().sheet
    for item in sheet.platforms:
        for line in item.lifters:
            assert 0 < played.sets[line.athlete] <= line.scheme.sets + 1, line.name
    stayed = [count for count in played.sets.values() if count >= 7]
    assert len(stayed) > len(played.sets) / 2


def test_what_was_logged_in_a_class_teaches_the_gyms_times(evening):
    begins = datetime(2026, 11, 30, 18, 30, tzinfo=clock.zone(GYM))
    quiet = Player(OF, lambda _: None)
    quiet.play(begins, with_events=False)
    learned = floor_times.get_learned_times(gym=GYM)
    assert learned.turns >= 30
    assert learned.spread_s < 30
    floor_times.take_learned_times(gym=GYM, by=BY)
    assert floor_terms.get_floor_terms(gym=GYM).times.per_rep_s == pytest.approx(
        learned.rep_s, abs=0.05
    )
