"""A page reads once what it asks for twice, and nothing that writes decides on a memory."""

from __future__ import annotations

import pytest
from django.db.transaction import atomic

from heftwright.domain.catalogue import Implement
from heftwright.domain.mass import Mass
from heftwright.domain.stock import Bar
from heftwright.store import stock_rows
from heftwright.store.gym_rows import find_gym, lock_gym
from heftwright.store.models import Gym
from heftwright.store.once import one_reading

pytestmark = pytest.mark.django_db(transaction=True)
AXLE = Bar("axle", "Axle", Implement.AXLE, Mass.kg(15))


@pytest.fixture
def gym():
    return Gym.objects.create(slug="elm-yard", name="Elm Yard", time_zone="UTC", unit="kg")


def test_within_one_page_a_thing_is_read_once(gym, django_assert_num_queries):
    with one_reading(), django_assert_num_queries(2):
        for _ in range(3):
            stock_rows.read_stock(find_gym("elm-yard"))


def test_outside_a_page_everything_is_read_anew(gym, django_assert_num_queries):
    with django_assert_num_queries(3):
        for _ in range(3):
            find_gym("elm-yard")


def test_the_next_page_sees_what_was_written_meanwhile(gym):
    with one_reading():
        assert stock_rows.read_stock(gym).bars == ()
    stock_rows.write_item(gym, AXLE)
    with one_reading():
        assert stock_rows.read_stock(gym).bars == (AXLE,)


def test_whoever_takes_the_lock_to_write_reads_anew(gym):
    with one_reading():
        assert stock_rows.read_stock(gym).bars == ()
        with atomic():
            stock_rows.write_item(lock_gym("elm-yard"), AXLE)
        assert stock_rows.read_stock(gym).bars == (AXLE,)


def test_the_whole_stock_is_its_kinds_one_by_one_in_the_coachs_order(gym):
    for key in ("b", "a", "c"):
        stock_rows.write_item(gym, Bar(key, key, Implement.AXLE, Mass.lb("33.3")))
    stock_rows.put_in_order(gym, Bar, ("c", "a", "b"))
    found = stock_rows.read_stock(gym)
    assert found.bars == stock_rows.read_items(gym, Bar)
    assert [bar.key for bar in found.bars] == ["c", "a", "b"]
