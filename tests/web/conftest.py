"""A house with its class on a fixed Monday evening, and clients of everybody in it."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
from django.test import Client
from floor_cast import House, at, client_of, open_house

from heftwright.usecases import clock

MONDAY = date(2026, 11, 23)


def at_utc(day: date, hour: int) -> datetime:
    return datetime.combine(day, time(hour), UTC)


@pytest.fixture
def house(db) -> House:
    """Dunnock Row at 18:45 on the Monday of its class."""
    with clock.held_at(at_utc(MONDAY, 9)):
        built = open_house(on=MONDAY)
    with clock.held_at(at(MONDAY, 18, 45)):
        yield built


@pytest.fixture
def head(house) -> Client:
    return client_of("Hal")


@pytest.fixture
def assistant(house) -> Client:
    return client_of("Asa")


@pytest.fixture
def owner(house) -> Client:
    return client_of("Olga")


@pytest.fixture
def stranger(house) -> Client:
    return client_of("Stig")


@pytest.fixture
def anyone(house) -> Client:
    return Client()
