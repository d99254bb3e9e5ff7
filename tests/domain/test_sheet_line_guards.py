"""A line of the sheet against the zone table: no scheme is planned that the tool would question."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heftwright.domain.catalogue import LiftKey, Slot, load_catalogue
from heftwright.domain.dose import Scheme
from heftwright.domain.dose.guards import GuardKind
from heftwright.domain.dose.zones import load_zone_tables
from heftwright.domain.mass import Mass
from heftwright.domain.prescription.wanted import WantedWork
from heftwright.domain.sheet.line_guards import OnTheBar, guards_on_line, held_to_table
from heftwright.domain.squad import Athlete, AthleteId, Sex
from heftwright.domain.strength import Belief, Evidence, EvidenceKind

TODAY = date(2026, 11, 25)
DEADLIFT = load_catalogue()[LiftKey("deadlift")]
ADULT = Athlete(AthleteId("a1"), "Athlete 1", 1, Sex.MAN, born_on=date(1990, 1, 1))
ZONES = load_zone_tables()


def work(scheme, **more):
    test = Evidence(
        ADULT.id, DEADLIFT.key, EvidenceKind.TEST, Mass.kg(200), TODAY - timedelta(days=20)
    )
    belief = Belief(ADULT.id, DEADLIFT.key, 200.0, 0.03, test, 20, ())
    return WantedWork(
        athlete=ADULT.id, lift=DEADLIFT.key, slot=Slot.DYNAMIC_LOWER, scheme=scheme, max_kg=200.0,
        max_words="", is_estimated=False, target_kg=120.0, tolerance_ratio=0.025, top_ratio=0.25,
        top_slack_ratio=0.05, choices=(), path=None, reasons=(), cautions=(), is_minor=False,
        belief=belief, **more,
    )  # fmt: skip


def questioned(wanted, bar, table):
    found = guards_on_line(wanted, bar, DEADLIFT, ADULT, TODAY, table)
    return GuardKind.TOO_MANY_REPS in {guard.kind for guard in found}


def test_eight_threes_at_83_percent_become_six():
    # Zone table as printed by H. Hristov 2005: 80-89 %: 10-20 lifts.
    bar = OnTheBar(110.0, 166.0)
    assert questioned(work(Scheme(8, 3)), bar, ZONES["B"])  # control: the guard does bite
    held = held_to_table(work(Scheme(8, 3)), bar, ZONES["B"])
    assert held.scheme == Scheme(6, 3)
    assert "instead of" in held.reasons[-1].sentence
    assert not questioned(held, bar, ZONES["B"])


def test_eight_threes_at_exactly_80_percent_under_bands_stand():
    # Common practice, no source: the 70-79 row up to and including 80 % at a banded top.
    assert held_to_table(work(Scheme(8, 3)), OnTheBar(110.0, 160.0), ZONES["B"]).scheme.sets == 8


@pytest.mark.parametrize("key", sorted(ZONES))
@given(
    sets=st.integers(1, 20), reps=st.integers(1, 6), bar_kg=st.floats(60, 170),
    bands_kg=st.floats(0, 60),
)  # fmt: skip
def test_no_planned_scheme_is_one_that_the_dose_guard_questions(key, sets, reps, bar_kg, bands_kg):
    bar = OnTheBar(bar_kg, bar_kg + bands_kg)
    assert not questioned(held_to_table(work(Scheme(sets, reps)), bar, ZONES[key]), bar, ZONES[key])


def test_a_load_set_by_hand_keeps_its_sets_and_is_asked_about():
    by_hand, bar = work(Scheme(8, 3), set_by="Head coach"), OnTheBar(110.0, 166.0)
    assert held_to_table(by_hand, bar, ZONES["B"]) is by_hand
    assert questioned(by_hand, bar, ZONES["B"])
