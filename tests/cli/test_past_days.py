"""A day that is past is looked at, never planned."""

import sys
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

sys.path.append(str(Path(__file__).parents[1] / "web"))

from floor_cast import ROW, open_house

from heftwright.cli.main import heftwright
from heftwright.usecases import classes, clock
from heftwright.usecases.timetable import get_timetable


@pytest.mark.django_db
@pytest.mark.parametrize("more", [(), ("--again",)])
def test_a_past_class_without_a_plan_is_not_planned_afterwards(more):
    monday, week_before = datetime(2026, 11, 23, 9, tzinfo=UTC), date(2026, 11, 16)
    with clock.held_at(monday):
        open_house(on=monday.date())
        said = CliRunner().invoke(
            heftwright, ("tonight", "--gym", ROW, "--on", week_before.isoformat(), *more)
        )
        (key, *_) = [one.key for one in get_timetable(gym=ROW).on(week_before)]
        assert "was not planned then" in str(said.exception)
        assert classes.get_class_version(gym=ROW, class_key=key, on=week_before) == 0
