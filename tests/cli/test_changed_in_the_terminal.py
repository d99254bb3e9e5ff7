"""The terminal's class sheet says what was changed since it was planned."""

import sys
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

sys.path.append(str(Path(__file__).parents[1] / "web"))

from floor_cast import ROW, TERMINAL, open_house

from heftwright.cli.main import heftwright
from heftwright.domain.mass import Mass
from heftwright.usecases import clock, squad


@pytest.mark.django_db
def test_tonights_sheet_names_whoever_was_changed_since():
    with clock.held_at(datetime(2026, 11, 23, 9, tzinfo=UTC)):
        house = open_house(on=date(2026, 11, 23))
        tove = next(item for item in squad.get_squad(gym=ROW) if item.name == "Tove")
    with clock.held_at(house.sheet.planned_at + timedelta(minutes=5)):
        squad.change_athlete(gym=ROW, by=TERMINAL, athlete=replace(tove, body_mass=Mass.kg(90)))
        said = CliRunner().invoke(heftwright, ("tonight", "--gym", ROW))
    assert said.output.rstrip().endswith(
        "Changed since this plan was made: Tove. Take it in with `heftwright tonight --again`."
    )
