"""A maker's limit on its page: everybody reads it, the owner alone goes over it."""

from __future__ import annotations

import pytest
from floor_cast import ROW, TERMINAL

from heftwright.domain.catalogue import Implement
from heftwright.domain.mass import Mass
from heftwright.domain.stock import Bar
from heftwright.usecases import clock, rating_overrides, stock

PAGE = f"/gym/{ROW}/stock/bars/rated/"
WHY = "One single; bar looked over by its maker"


@pytest.fixture
def rated(house):
    bar = Bar("rated", "Rated bar", Implement.STRAIGHT_BAR, Mass.kg(20), rating=Mass.kg(300))
    stock.add_item(gym=ROW, by=TERMINAL, item=bar)


def ask(**more):
    asked = {"up_to": "330", "up_to_unit": "kg", "on": f"{clock.today(ROW)}", "why": WHY}
    return asked | more


def test_the_owner_goes_over_it_for_a_day_and_back(rated, owner):
    page = owner.post(f"{PAGE}limit", ask(), follow=True).content.decode()
    assert f", Olga: {WHY}" in page
    assert "Hold to the limit again" in page
    (word,) = rating_overrides.get_rating_overrides(gym=ROW)
    assert (word.who, word.up_to) == ("Olga", Mass.kg(330))
    owner.post(f"{PAGE}limit/{clock.today(ROW)}")
    assert rating_overrides.get_rating_overrides(gym=ROW) == ()


def test_the_head_coach_reads_it_but_is_not_offered_a_way_over_it(rated, head):
    page = head.get(PAGE).content.decode()
    assert "Only the owner can go over it" in page
    assert "Allow it" not in page
    assert head.post(f"{PAGE}limit", ask()).status_code == 403
    assert rating_overrides.get_rating_overrides(gym=ROW) == ()


@pytest.mark.parametrize(
    ("more", "sentence"),
    [({"why": "so"}, "takes a name and a reason"), ({"up_to": "400"}, "more than a quarter")],
)
def test_without_a_reason_or_too_far_nothing_is_allowed(rated, owner, more, sentence):
    answer = owner.post(f"{PAGE}limit", ask(**more))
    assert answer.status_code in (400, 409, 422)
    page = answer.content.decode()
    assert sentence in page
    assert f'value="{ask(**more)["up_to"]}"' in page  # nothing typed is lost
    assert f'value="{ask(**more)["why"]}"' in page
    assert rating_overrides.get_rating_overrides(gym=ROW) == ()


def test_gear_without_a_rating_has_no_such_page(house, owner):
    assert owner.post(f"/gym/{ROW}/stock/plates/x/limit", ask()).status_code == 404
    assert owner.post(f"/gym/{ROW}/stock/plates/x/limit/2026-11-23").status_code == 404


def test_gear_whose_limit_is_unknown_says_so_and_offers_no_way_over_it(house, owner):
    bar = Bar("plain", "Plain bar", Implement.STRAIGHT_BAR, Mass.kg(20))
    stock.add_item(gym=ROW, by=TERMINAL, item=bar)
    page = owner.get(f"/gym/{ROW}/stock/bars/plain/").content.decode()
    assert "no load is held against it" in page
    assert "Allow it" not in page


def test_a_lowered_limit_says_that_the_owners_word_counts_no_more(rated, owner):
    owner.post(f"{PAGE}limit", ask())
    record = {
        "name": "Rated bar", "implement": "straight_bar", "mass": "20", "mass_unit": "kg",
        "sleeve": "41.5", "sleeve_unit": "cm", "count": "1", "rating": "270", "rating_unit": "kg",
    }  # fmt: skip
    said = owner.post(PAGE, record, follow=True).content.decode()
    assert f"word to go over it on {clock.today(ROW)} counts no more" in said
    page = owner.get(PAGE).content.decode()
    assert "counts no more" in page
    assert "It was given for a limit of" in page
