"""Changing by hand what follows the main lifts: taken at once, planned around, or refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from season_cast import BARN, IN_BARN, MONDAY, noon, open_barn

from heftwright.domain.catalogue import KitKey, LiftKey, Slot
from heftwright.domain.refusal import NotFoundError
from heftwright.store import models as rows
from heftwright.usecases import clock, jobs, season, season_after
from heftwright.usecases import stock as stocks
from heftwright.usecases.season import SeasonError

LOWER = Slot.MAX_EFFORT_LOWER
LONG_SETUP_MIN = 10
WEEK_2 = {"slot": LOWER, "monday": MONDAY + timedelta(weeks=2)}


@pytest.fixture(scope="module")
def barn(django_db_setup, django_db_blocker):
    from django.core.management import call_command

    with django_db_blocker.unblock(), clock.held_at(noon(MONDAY)):
        open_barn()
        season.plan_season(**IN_BARN, limit_s=1.0)
        yield
        call_command("flush", interactive=False, verbosity=0)


@pytest.fixture(autouse=True)
def _today(barn, db):
    with clock.held_at(noon(MONDAY)):
        yield


def plan():
    return season.get_season(gym=BARN)


def planned_block():
    """A block that the plan chose by itself: its place, and its lift."""
    block = plan().after[0]
    return {"slot": block.slot, "monday": block.monday}, block.lift


def choices(place):
    return season_after.get_after_choices(gym=BARN, **place)


def after(place):
    return [item.lift for item in plan().after_on(place["slot"], place["monday"])]


def main():
    return [work for work in plan().work if not work.is_easy]


def test_what_could_follow_is_shown_with_what_it_adds():
    found = choices(WEEK_2)
    gains = [item.gain_pct for item in found.legal]
    assert gains == sorted(gains, reverse=True)
    shown = (*found.legal, *found.breaking)
    assert shown
    assert all(item.kind == "second lift" for item in shown)
    assert all(item.breaks for item in found.breaking)
    assert found.taken_out
    assert all(reason for _, reason in found.taken_out)


def test_a_block_is_pinned_at_once_and_the_main_lifts_stay():
    place, wish = planned_block()
    before = main()
    assert choices(place).now == wish
    assert season_after.take_after(**IN_BARN, **place, wish=wish).strip is not None
    assert after(place) == [wish]
    assert main() == before
    assert choices(place).is_pinned
    row = rows.AuditRow.objects.latest("pk")
    assert (row.verb, row.subject) == ("take_after", "season")


def test_a_pin_after_a_main_lift_holds_when_the_season_is_planned_again():
    place, wish = planned_block()
    season_after.take_after(**IN_BARN, **place, wish=wish)
    season.plan_season(**IN_BARN, limit_s=0.7)
    assert after(place) == [wish]


def test_nothing_can_be_pinned_and_left_to_the_plan_again():
    place, wish = planned_block()
    season_after.take_after(**IN_BARN, **place, wish=None)
    assert after(place) == []
    season_after.free_after(**IN_BARN, **place)
    assert after(place) == [wish]
    assert season.get_planned_season(gym=BARN).after_pins == ()
    with pytest.raises(NotFoundError, match="Nothing is pinned after"):
        season_after.free_after(**IN_BARN, **place)


def without_room():
    """Blocks that could stand on a lower day if the main lifts were others."""
    for work in main():
        if work.slot.is_lower and work.monday > MONDAY:
            place = {"slot": work.slot, "monday": work.monday}
            yield from ((place, item.lift) for item in choices(place).breaking)


def test_a_block_without_room_takes_it_from_other_blocks_or_is_planned_around(monkeypatch):
    monkeypatch.setattr(jobs, "_start_thread", lambda _: None)
    place, wish = next(without_room())
    version = season.get_planned_season(gym=BARN).strip.plan_version
    taken = season_after.take_after(**IN_BARN, **place, wish=wish)
    if taken.strip is not None:
        assert after(place) == [wish]
    else:  # the main lifts must change: in the background, and until then nothing does
        assert taken.job is not None
        assert season.get_planned_season(gym=BARN).strip.plan_version == version


def test_a_block_that_cannot_be_is_refused_with_the_reason():
    kit = stocks.get_stock(gym=BARN)
    stocks.replace_stock(**IN_BARN, stock=replace(kit, kit={**kit.kit, KitKey("keg"): 0}))
    with pytest.raises(SeasonError, match="the kit does not serve"):
        season_after.take_after(**IN_BARN, **WEEK_2, wish=LiftKey("keg_loading"))
    with pytest.raises(SeasonError, match="no second lift"):
        season_after.take_after(**IN_BARN, **WEEK_2, wish=LiftKey("deadlift"))


@pytest.mark.parametrize(
    ("slot", "week", "error", "said"),
    [
        (Slot.IMPLEMENT, 2, NotFoundError, "no main lift"),
        (LOWER, 8, SeasonError, "light session"),
        (LOWER, 99, NotFoundError, "no main lift"),
    ],
)
def test_only_a_main_lift_ahead_has_something_after_it(slot, week, error, said):
    with pytest.raises(error, match=said):
        season_after.get_after_choices(gym=BARN, slot=slot, monday=MONDAY + timedelta(weeks=week))


def test_what_was_trained_is_not_changed_any_more():
    with (
        clock.held_at(noon(MONDAY + timedelta(weeks=2))),
        pytest.raises(SeasonError, match="trained already"),
    ):
        season_after.get_after_choices(gym=BARN, slot=LOWER, monday=MONDAY)
