"""Evenings of every kind on the demo gym's floor: few bands, few axles, racks, pegs, beginners,
nobody, one. Each is planned as a coach would, and each plan passes its own checker on the way."""

from __future__ import annotations

from dataclasses import replace

import pytest
from demo_monday import BY, CLASS_KEY, GYM, MONDAY, OF

from heftwright.domain.catalogue import Implement, LiftKey
from heftwright.domain.floor.policy import StackOrder
from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.height import Length
from heftwright.domain.refusal import Refusal
from heftwright.store.models import AttendanceState
from heftwright.usecases import attendance, classes, floor_drafts, floor_terms
from heftwright.usecases.lifts import catalogue_of
from heftwright.usecases.live_class import LiveClassError, start_class
from heftwright.usecases.stock import change_item, get_stock

BEFORE = -60


def planned(present=None, *, anew=True):
    return classes.plan_class(
        gym=GYM, class_key=CLASS_KEY, on=MONDAY, by=BY, present=present, keep_close=not anew
    )


def lines(sheet):
    return {line.athlete: line for item in sheet.platforms for line in item.lifters}


def places(sheet):
    return {line.athlete: item.key for item in sheet.platforms for line in item.lifters}


def everybody():
    return OF.planned().present


def fewer_bands(pairs):
    for band in get_stock(gym=GYM).bands:
        change_item(gym=GYM, by=BY, item=replace(band, pairs=pairs))


def test_with_hardly_any_bands_everybody_still_lifts_and_is_told_why_without(evening):
    with evening(BEFORE):
        fewer_bands(1)
        sheet = planned()
    assert not sheet.unplaced
    assert len(lines(sheet)) == len(everybody())
    banded = [item for item in sheet.platforms if item.rig]
    straight = [line for item in sheet.platforms if not item.rig for line in item.lifters]
    assert len(banded) <= sum(band.pairs for band in get_stock(gym=GYM).bands)
    assert any("in use tonight" in " ".join(line.reasons) for line in straight)


def test_who_went_without_bands_can_still_be_moved_by_hand(evening):
    with evening(BEFORE):
        fewer_bands(1)
        sheet = planned()
        free = [item for item in sheet.platforms if not item.rig and len(item.lifters) > 1]
        last = free[0].lifters[-1]
        draft = floor_drafts.propose_turn(OF, by=BY, athlete=last.athlete, turn=1)
        taken = floor_drafts.take_draft(OF, by=BY)
    assert "turn 1" in draft.title
    assert lines(taken)[last.athlete].load == last.load


def test_two_axles_serve_whom_they_can_and_the_others_do_the_twin_lift(evening):
    with evening(BEFORE):
        sheet = planned()
    axles = sum(bar.count for bar in get_stock(gym=GYM).bars_of(Implement.AXLE))
    assert 0 < sum(item.bar_name == "Axle" for item in sheet.platforms) <= axles
    others = [line for line in lines(sheet).values() if line.lift_name != sheet.lift_name]
    assert others
    assert any("axle" in " ".join(line.reasons).lower() for line in others)


def test_more_people_than_a_bar_serves_are_named_with_a_way_out(evening):
    """The coach gives everybody a lift on a bar of which the gym has one or two."""
    catalogue = catalogue_of(GYM)
    stock = get_stock(gym=GYM)
    rare = next(
        LiftKey(key)
        for key, _ in floor_drafts.other_lifts(OF, OF.planned())
        if 0 < sum(bar.count for bar in stock.bars_of(catalogue[key].implement)) <= 2
        and key != OF.planned().work[0].lift
    )
    with evening(BEFORE):
        floor_drafts.propose_lift(OF, by=BY, athletes=everybody(), lift=rare)
        sheet = floor_drafts.take_draft(OF, by=BY)
    assert len(sheet.platforms) <= 2
    told = [who.why for who in sheet.unplaced]
    assert len(lines(sheet)) + len(told) == len(everybody())
    assert any("Split the class in two halves" in why and "twin lift" in why for why in told)


def test_squats_go_to_the_racks_and_pulls_to_the_floor(evening):
    half = everybody()[::2]
    with evening(BEFORE):
        floor_drafts.propose_lift(OF, by=BY, athletes=half, lift=LiftKey("box_squat"))
        sheet = floor_drafts.take_draft(OF, by=BY)
    racks = {item.key for item in get_stock(gym=GYM).platforms if item.has_rack}
    for item in sheet.platforms:
        if any("squat" in line.lift_name.lower() for line in item.lifters):
            assert item.key in racks
    names = {line.lift_name for line in lines(sheet).values()}
    assert len(names) >= 2


def test_bands_only_go_where_the_pegs_are(evening):
    bare = get_stock(gym=GYM).platforms[0]
    with evening(BEFORE):
        change_item(gym=GYM, by=BY, item=replace(bare, peg_heights=()))
        sheet = planned()
    rigs = {item.key: item.rig for item in sheet.platforms}
    assert rigs.get(bare.key, "") == ""
    assert any(rigs.values())


def test_pegs_at_another_height_are_not_taken_for_these(evening):
    with evening(BEFORE):
        for item in get_stock(gym=GYM).platforms:
            change_item(gym=GYM, by=BY, item=replace(item, peg_heights=(Length.cm(9),)))
        sheet = planned()
    assert all("9 cm" in item.rig for item in sheet.platforms if item.rig)


def test_beginners_are_not_left_among_themselves(evening):
    new = everybody()[:6]
    with evening(BEFORE):
        for one in new:
            floor_terms.change_floor_wish(gym=GYM, by=BY, wish=FloorWish(one, is_beginner=True))
        sheet = planned()
    for item in sheet.platforms:
        here = [line.athlete for line in item.lifters]
        assert len(here) < 2 or not set(here) <= set(new)


def test_whoever_wants_the_coach_near_lifts_where_the_coach_stands(evening):
    one = next(iter(lines(OF.planned().sheet)))
    with evening(BEFORE):
        where = places(OF.planned().sheet)[one]
        floor_terms.change_floor_terms(gym=GYM, by=BY, terms=FloorTerms(coach_platforms=(where,)))
        floor_terms.change_floor_wish(gym=GYM, by=BY, wish=FloorWish(one, wants_coach_near=True))
        sheet = planned()
    assert places(sheet)[one] == where


def test_nobody_rests_less_than_the_scheme_asks(evening):
    with evening(BEFORE):
        sheet = planned()
        times = floor_terms.get_floor_terms(gym=GYM).times
    for item in sheet.platforms:
        scheme = item.lifters[0].scheme
        assert item.round_s >= scheme.rest_s + times.set_s(scheme.reps) - 1e-6


def test_where_the_gym_wants_heavy_plates_inside_no_small_one_is_shut_in(evening):
    with evening(BEFORE):
        terms = FloorTerms(stack_order=StackOrder.HEAVY_INSIDE)
        floor_terms.change_floor_terms(gym=GYM, by=BY, terms=terms)
        sheet = planned()
    for line in lines(sheet).values():
        masses = [plate.mass for plate in line.sleeve.plates]
        assert masses == sorted(masses, reverse=True)


def test_without_that_wish_heavy_plates_still_lie_inside_of_what_stays_on(evening):
    with evening(BEFORE):
        sheet = planned()
    for item in sheet.platforms:
        stacks = [[plate.key for plate in line.sleeve.plates] for line in item.lifters]
        same = 0
        while all(len(stack) > same and stack[same] == stacks[0][same] for stack in stacks):
            same += 1
        stays = [plate.mass for plate in item.lifters[0].sleeve.plates[:same]]
        assert stays == sorted(stays, reverse=True)


def test_nobody_present_is_said_and_cannot_be_started(evening):
    with evening(BEFORE):
        sheet = planned(present=())
        assert (sheet.platforms, sheet.unplaced, sheet.schemes) == ((), (), ())
        assert "mark who is here" in " ".join(sheet.floor_words)
        assert sheet.saved_words == ""
        with pytest.raises(LiveClassError, match="Nobody has a bar"):
            start_class(OF, by=BY)


def test_everybody_leaves_in_the_middle_and_some_come_back(evening):
    people = everybody()
    with evening(10):
        start_class(OF, by=BY)
    away = dict.fromkeys(people, AttendanceState.AWAY)
    with evening(20):
        attendance.mark_attendance(gym=GYM, by=BY, class_key=OF.key, states=away)
        draft = floor_drafts.propose_people(OF, by=BY)
        assert "Nobody is left" in draft.title
        sheet = floor_drafts.take_draft(OF, by=BY)
        assert sheet.platforms == ()
    here = dict.fromkeys(people[:3], AttendanceState.HERE)
    with evening(25):
        attendance.mark_attendance(gym=GYM, by=BY, class_key=OF.key, states=here)
        floor_drafts.propose_people(OF, by=BY)
        sheet = floor_drafts.take_draft(OF, by=BY)
    assert set(lines(sheet)) | {who.athlete for who in sheet.unplaced} == set(people[:3])


def test_one_athlete_lifts_alone_and_the_coach_is_told_to_find_a_loader(evening):
    one = next(iter(lines(OF.planned().sheet)))
    with evening(BEFORE):
        sheet = planned(present=(one,))
    assert list(lines(sheet)) == [one]
    assert "find a loader and spotter" in " ".join(sheet.floor_words)


def test_a_gym_without_platforms_is_told_what_to_put_out(evening):
    from heftwright.usecases.stock import remove_item

    with evening(BEFORE):
        for item in get_stock(gym=GYM).platforms:
            remove_item(gym=GYM, by=BY, kind="platform", key=item.key)
        try:
            told = " ".join(who.why for who in planned().unplaced)
        except Refusal as error:
            told = str(error)
    assert "platform" in told
