"""The plates somebody is told to move are those that are really on the bar: at the start, from set
to set, and when the class is planned again in the middle of a round (statics of a sleeve: only the
outermost plate can come off)."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent.parent / "web"))

from sheets import make_platforms, plates

from heftwright.domain.sheet.going_on import Changed, begun_after
from heftwright.domain.sheet.live import ClassClock, Phase, slots_of, turn_at

STARTS = datetime(2026, 11, 23, 17, 30, tzinfo=UTC)
CLOCK = ClassClock("2026-11-23/mon-1830", STARTS)


def platform(**more):
    """Three lifters of the cast, on an empty bar."""
    return replace(make_platforms()[0], on_bar=(), **more)


def begins(sheet):
    return STARTS + timedelta(minutes=sheet.finish_min) - timedelta(seconds=sheet.left_s)


def keys(found):
    return [plate.key for plate in found]


def put_on(on_bar, sleeve):
    """The bar after somebody did just what they were told; a wrong plate is an error."""
    bar = list(on_bar)
    for plate in sleeve.off:
        assert bar.pop() == plate.key
    return [*bar, *keys(sleeve.on)]


def assert_told_right(slots, on_bar):
    for slot in slots:
        on_bar = put_on(on_bar, slot.line.sleeve)
        assert on_bar == keys(slot.line.sleeve.plates), slot.line.name
    return on_bar


def test_the_first_lifter_of_a_class_loads_an_empty_bar():
    first = turn_at(platform(), STARTS, STARTS).now
    assert first.sleeve.off == ()
    assert first.sleeve.on == first.sleeve.plates


def test_the_second_round_changes_from_what_the_last_lifter_leaves():
    sheet = platform()
    second = slots_of(sheet, STARTS)[len(sheet.lifters)]
    last = sheet.lifters[-1].sleeve.plates
    assert second.line.sleeve == second.line.sleeve.after(last)


def test_all_evening_the_bar_is_right():
    assert_told_right(slots_of(platform(), STARTS), [])


def going_on(sheet, now, staying, is_rig_kept=True):
    """The same platform, its group turned round, planned again at ``now``."""
    changed = {sheet.key: Changed(staying, is_rig_kept)}
    begun = begun_after([sheet], changed, CLOCK, now)[sheet.key]
    other = replace(
        sheet,
        lifters=tuple(line for line in reversed(sheet.lifters) if line.athlete in staying),
        done_sets=begun.done_sets,
        on_bar=begun.on_bar,
        finishing=begun.finishing,
    )
    return replace(other, finish_min=(begun.round_began_s + other.left_s) / 60)


def everybody(sheet):
    return {line.athlete for line in sheet.lifters}


def test_those_who_stay_finish_the_round_in_sight_of_everybody():
    sheet = platform()
    now = begins(sheet) + timedelta(seconds=sheet.round_s + 1)
    after = going_on(sheet, now, everybody(sheet))
    turn = turn_at(after, STARTS, now)
    assert (turn.phase, turn.now.name, turn.set_number) == (Phase.LIFTING, "Tove", 2)
    assert after.done_sets == 2
    follows = [slot.line.name for slot in slots_of(after, STARTS)[:4]]
    assert follows == ["Tove", "Marek", "Ilse", "Ilse"]  # then the new order begins


def test_whoever_goes_home_is_not_waited_for():
    sheet = platform()
    now = begins(sheet) + timedelta(seconds=1)
    staying = everybody(sheet) - {sheet.lifters[1].athlete}
    after = going_on(sheet, now, staying)
    assert "Marek" not in {slot.line.name for slot in slots_of(after, STARTS)}
    on_bar = keys(sheet.lifters[0].sleeve.plates)
    assert_told_right(slots_of(after, STARTS)[1:], on_bar)


def test_when_only_they_were_left_in_the_round_the_next_one_begins_at_once():
    sheet = platform()
    last = sheet.lifters[-1]
    now = begins(sheet) + timedelta(seconds=sheet.round_s - 5)
    after = going_on(sheet, now, everybody(sheet) - {last.athlete})
    turn = turn_at(after, STARTS, now)
    assert (turn.phase, turn.set_number) == (Phase.LIFTING, 2)
    assert turn.now.athlete != last.athlete


def test_while_bands_are_changed_nobody_lifts():
    sheet = platform()
    now = begins(sheet) + timedelta(seconds=1)
    after = going_on(sheet, now, everybody(sheet), is_rig_kept=False)
    turn = turn_at(after, STARTS, now)
    assert turn.phase is Phase.BEFORE
    assert put_on(keys(sheet.lifters[0].sleeve.plates), turn.now.sleeve) == keys(
        turn.now.sleeve.plates
    )


def test_a_platform_that_stays_as_it_is_goes_on_at_the_very_same_turn():
    sheet = platform()
    now = begins(sheet) + timedelta(seconds=400)
    begun = begun_after([sheet], {}, CLOCK, now)[sheet.key]
    same = replace(sheet, done_sets=begun.done_sets, on_bar=begun.on_bar, finishing=begun.finishing)
    same = replace(same, finish_min=(begun.round_began_s + same.left_s) / 60)
    before, after = turn_at(sheet, STARTS, now), turn_at(same, STARTS, now)
    assert (before.now, before.set_number) == (after.now, after.set_number)
    assert abs((before.changes_at - after.changes_at).total_seconds()) < 1e-3


@given(
    second=st.integers(-300, 1700),
    again=st.integers(1, 400),
    gone=st.integers(0, 2),
    is_rig_kept=st.booleans(),
)
def test_whenever_it_is_planned_again_and_again_the_plates_told_are_on_the_bar(
    second, again, gone, is_rig_kept
):
    sheet = platform()
    now = begins(sheet) + timedelta(seconds=second)
    staying = everybody(sheet) - {sheet.lifters[gone].athlete}
    seen = [slot for slot in slots_of(sheet, STARTS) if slot.begins < now]
    on_bar = assert_told_right(seen, [])
    for at in (now, now + timedelta(seconds=again)):
        after = going_on(sheet, at, staying, is_rig_kept)
        begun = [slot for slot in slots_of(sheet, STARTS) if slot.begins < at]
        on_bar = keys(begun[-1].line.sleeve.plates) if begun else on_bar
        later = [slot for slot in slots_of(after, STARTS) if slot.begins >= at]
        assert_told_right(later, on_bar)
        sheet = after


@pytest.mark.parametrize("stack", [(), ("25",), ("25", "10", "5")])
def test_only_the_outermost_plate_comes_off(stack):
    sleeve = replace(platform().lifters[0].sleeve, plates=plates("25", "5"))
    changed = sleeve.after(plates(*stack))
    assert put_on([plate.key for plate in plates(*stack)], changed) == keys(sleeve.plates)
