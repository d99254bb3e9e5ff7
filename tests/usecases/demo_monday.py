"""The demo gym's Monday evening, as the floor's tests name it."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from heftwright.demo.build import GYM
from heftwright.usecases.actor import Actor
from heftwright.usecases.live_class import DatedClass

__all__ = ["BEGINS", "BY", "CLASS_KEY", "GYM", "MONDAY", "NOON", "OF"]

CLASS_KEY = "mon-1830"
MONDAY = date(2026, 11, 30)
BEGINS = time(18, 30)
NOON = datetime(2026, 11, 30, 12, tzinfo=UTC)
BY = Actor.at_terminal("Hilde")
OF = DatedClass(GYM, CLASS_KEY, MONDAY)
