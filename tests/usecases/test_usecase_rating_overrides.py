"""Going over a maker's limit: the owner alone, for a day, with a reason, and never far."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.catalogue import Implement
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.resistance.limits import Ratings, rating_stops
from heftwright.domain.stock import Bar, Block, Platform, RatingOverride
from heftwright.usecases import clock, rating_overrides, stock, trail
from heftwright.usecases.gathering import Gathered
from heftwright.usecases.permissions import ForbiddenError
from heftwright.usecases.rating_overrides import RatingOverrideError

RATED = (
    Bar("bar", "Bar", Implement.STRAIGHT_BAR, Mass.kg(20), rating=Mass.kg(300)),
    Platform("P1", rack_rating=Mass.kg(300)),
    Block("low", Length.cm(10), 2, Mass.kg(300)),
)


@pytest.fixture
def rated(people):
    for item in (*RATED, Bar("plain", "Plain", Implement.AXLE, Mass.kg(15))):
        stock.add_item(gym=YARD, by=TERMINAL, item=item)
    return people


def word(kind="bar", item="bar", kg="330", **more):
    on = more.pop("on", clock.today(YARD))
    return RatingOverride(kind, item, Mass.kg(kg), on, "Olga", "Checked by the maker's fitter")


def kept(*args, **more):
    """The same word as it stands on record: with the limit that it was given for."""
    return replace(word(*args, **more), given_for=Mass.kg(300))


def lift(by=TERMINAL, **more):
    rating_overrides.lift_rating(gym=YARD, by=by, override=word(**more))


@pytest.mark.parametrize(("kind", "item"), [("bar", "bar"), ("platform", "P1"), ("block", "low")])
def test_an_owner_lifts_a_limit_for_a_day(rated, kind, item):
    lift(by=rated.owner, kind=kind, item=item)
    today = clock.today(YARD)
    assert Gathered(YARD, today).overrides == (kept(kind, item),)
    assert Gathered(YARD, today + timedelta(days=1)).overrides == ()


def test_nobody_else_may(rated):
    for somebody in (rated.head, rated.assistant):
        with pytest.raises(ForbiddenError):
            lift(by=somebody)
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()


def test_it_can_be_taken_back(rated):
    lift()
    rating_overrides.restore_rating(gym=YARD, by=TERMINAL, key=word().key)
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()
    with pytest.raises(NotFoundError):
        rating_overrides.restore_rating(gym=YARD, by=TERMINAL, key=word().key)


def latest():
    return trail.get_trail(gym=YARD, limit=1)[0].act


def test_the_owner_alone_brings_a_withdrawn_word_back(rated):
    lift(by=rated.owner)
    rating_overrides.restore_rating(gym=YARD, by=rated.owner, key=word().key)
    withdrawal = latest()
    with pytest.raises(ForbiddenError):
        trail.undo(gym=YARD, by=rated.head, act=withdrawal)
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()
    trail.undo(gym=YARD, by=rated.owner, act=withdrawal)
    assert rating_overrides.get_rating_overrides(gym=YARD) == (kept(),)


def test_a_head_coach_may_take_a_word_back_but_not_that_taking_back(rated):
    lift(by=rated.owner)
    trail.undo(gym=YARD, by=rated.head, act=latest())
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()
    with pytest.raises(ForbiddenError):
        trail.undo(gym=YARD, by=rated.head, act=latest())


def test_a_word_is_judged_again_by_the_limit_that_stands_now(rated):
    lift()
    rating_overrides.restore_rating(gym=YARD, by=TERMINAL, key=word().key)
    withdrawal = latest()
    stock.change_item(gym=YARD, by=TERMINAL, item=replace(RATED[0], rating=Mass.kg(250)))
    with pytest.raises(RatingOverrideError, match="more than a quarter above"):
        trail.undo(gym=YARD, by=TERMINAL, act=withdrawal)
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"item": "plain"}, "No maker's limit is on record"),
        ({"kg": "300"}, "within the maker's limit of 300 kg"),
        ({"kg": "375.001"}, "more than a quarter above"),
    ],
)
def test_what_makes_no_sense_or_goes_too_far_is_refused(rated, more, sentence):
    with pytest.raises(RatingOverrideError, match=sentence):
        lift(**more)


@pytest.mark.parametrize("days", [-1, 15])
def test_only_for_a_day_that_is_near(rated, days):
    with pytest.raises(RatingOverrideError, match="Name a day from today on"):
        lift(on=clock.today(YARD) + timedelta(days=days))


def test_just_a_quarter_more_and_two_weeks_ahead_is_the_most(rated):
    lift(kg="375", on=clock.today(YARD) + timedelta(days=14))
    lift(kg="301")
    assert len(rating_overrides.get_rating_overrides(gym=YARD)) == 2


def test_a_thing_that_is_not_there_has_no_limit(rated):
    with pytest.raises(NotFoundError):
        lift(item="gone")


def test_an_item_keeps_its_rating(rated):
    lift()
    assert stock.get_stock(gym=YARD).platforms[0] == replace(RATED[1])


def rate(kg):
    bar = replace(RATED[0], rating=Mass.kg(kg))
    stock.change_item(gym=YARD, by=TERMINAL, item=bar)
    return bar


def total_stopped(bar, kg):
    known = Gathered(YARD, clock.today(YARD))
    return rating_stops(kg, Ratings(bar=bar, overrides=known.overrides), known.day)


def test_a_word_given_for_a_higher_limit_falls_with_a_lowered_one(rated):
    lift()
    assert total_stopped(RATED[0], 320) == ()
    bar = rate(280)
    (stop,) = total_stopped(bar, 281)
    assert "is rated for 280 kg" in stop
    assert "Olga allowed 330 kg today when the limit was 300 kg" in stop
    assert "that fell when the limit was lowered" in stop


def test_a_limit_that_is_raised_or_set_right_again_leaves_the_word(rated):
    lift()
    rate(280)
    assert total_stopped(rate(300), 320) == ()
    assert total_stopped(rate(310), 320) == ()


def test_after_a_lowered_limit_the_owner_may_give_the_word_anew(rated):
    lift()
    bar = rate(280)
    lift()
    assert total_stopped(bar, 330) == ()


def test_a_fallen_word_is_not_brought_back_by_undo(rated):
    lift()
    rating_overrides.restore_rating(gym=YARD, by=TERMINAL, key=word().key)
    withdrawal = latest()
    rate(290)
    with pytest.raises(RatingOverrideError, match="given for a limit of 300 kg, and that is 290"):
        trail.undo(gym=YARD, by=TERMINAL, act=withdrawal)
    assert rating_overrides.get_rating_overrides(gym=YARD) == ()
