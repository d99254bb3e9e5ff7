"""The terminal's class sheet names whom a contest keeps away."""

import sys
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

sys.path.append(str(Path(__file__).parents[1] / "web"))

from floor_cast import ROW, TERMINAL, open_house

from heftwright.cli.main import heftwright
from heftwright.domain.catalogue import EventFamily
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle, Travel
from heftwright.domain.squad import AthleteId
from heftwright.usecases import clock, contests, travels


@pytest.mark.django_db
def test_tonights_sheet_names_who_is_on_the_way_to_a_contest():
    yoke = ContestEvent("Yoke", EventFamily.YOKE, EventStyle.RUN)
    far, wednesday = ContestId("far"), date(2026, 11, 25)
    tove = (Entry(AthleteId("a7")),)
    with clock.held_at(datetime(2026, 11, 23, 9, tzinfo=UTC)):
        open_house(on=date(2026, 11, 23))
        contest = Contest(far, "Far Shore Day", wednesday, 2, False, (yoke,), tove)
        contests.add_contest(gym=ROW, by=TERMINAL, contest=contest)
        travels.set_travel(gym=ROW, by=TERMINAL, travel=Travel(far, 2, 0))
        said = CliRunner().invoke(heftwright, ("tonight", "--gym", ROW))
    assert said.output.rstrip().endswith("Away: on the way to Far Shore Day: Tove.")
