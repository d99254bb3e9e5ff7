"""Acts around the season, for the test that every verb leaves a trail."""

from __future__ import annotations

from datetime import date

from yard_cast import TERMINAL, YARD, spring_contest

from heftwright.domain.catalogue import Implement, LiftKey, load_catalogue
from heftwright.domain.catalogue.own import copy_of
from heftwright.domain.contest import Travel
from heftwright.domain.mass import Mass
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.domain.stock import Bar, RatingOverride
from heftwright.usecases import (
    calendar_feed,
    clock,
    closed_days,
    contests,
    lifts,
    rating_overrides,
    stock,
    travels,
)

IN_YARD = {"gym": YARD, "by": TERMINAL}
NEW_YEAR = ClosedSpan(date(2026, 12, 31), date(2027, 1, 1), "New Year")


def own_lift():
    return copy_of(load_catalogue()[LiftKey("axle_deadlift")], "Wheel axle deadlift")


def keep():
    lifts.keep_lift(**IN_YARD, lift=own_lift(), is_new=True)


def close():
    closed_days.close_days(**IN_YARD, span=NEW_YEAR)


RATED_BAR = Bar("rated", "Rated bar", Implement.STRAIGHT_BAR, Mass.kg(20), rating=Mass.kg(300))


def rated_bar():
    stock.add_item(**IN_YARD, item=RATED_BAR)


def over_the_limit():
    why = "One single, bar looked over by the maker"
    return RatingOverride("bar", "rated", Mass.kg(330), clock.today(YARD), "Owner", why)


def lift_rating():
    rating_overrides.lift_rating(**IN_YARD, override=over_the_limit())


def lifted_rating():
    rated_bar()
    lift_rating()


def meet():
    contests.add_contest(**IN_YARD, contest=spring_contest())


def travel():
    travels.set_travel(**IN_YARD, travel=Travel(spring_contest().id, 2, 1))


def travelled():
    meet()
    travel()


def season_scenarios():
    """Verb -> (something that must be there first, the act itself)."""
    return {
        "keep_lift": (None, lambda _: keep()),
        "drop_lift": (keep, lambda _: lifts.drop_lift(**IN_YARD, lift=own_lift().key)),
        "make_feed_link": (None, lambda _: calendar_feed.make_feed_link(**IN_YARD)),
        "close_days": (None, lambda _: close()),
        "set_travel": (meet, lambda _: travel()),
        "drop_travel": (
            travelled,
            lambda _: travels.drop_travel(**IN_YARD, contest=spring_contest().id),
        ),
        "lift_rating": (rated_bar, lambda _: lift_rating()),
        "restore_rating": (
            lifted_rating,
            lambda _: rating_overrides.restore_rating(**IN_YARD, key=over_the_limit().key),
        ),
        "open_days": (
            close,
            lambda _: closed_days.open_days(**IN_YARD, first=NEW_YEAR.first),
        ),
    }
