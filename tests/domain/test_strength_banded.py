"""A single against bands speaks for the load where it sticks."""

from datetime import date

import pytest

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass
from heftwright.domain.resistance.load import LoadCurve, LoadPart
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.banded import banded_single
from heftwright.domain.strength.evidence import EvidenceError, EvidenceKind

ON = date(2026, 11, 25)
# A 140 kg bar with bands that add 20 kg at the floor and 60 kg at lockout, straight in between.
CURVE = LoadCurve(
    heights_m=(0.2, 0.5, 0.8),
    bar_kg=(140.0, 140.0, 140.0),
    total_kg=(160.0, 180.0, 200.0),
    sd_kg=(2.0, 2.0, 2.0),
    mean_kg=180.0,
    parts=(LoadPart("bar", (140.0,) * 3), LoadPart("bands", (20.0, 40.0, 60.0))),
)


def single(height_m=None):
    return banded_single(
        AthleteId("a1"), LiftKey("deadlift"), CURVE, ON, sticking_height_m=height_m
    )


def test_without_a_sticking_height_the_mean_load_counts():
    found = single()
    assert found.load == Mass.kg(180)
    assert found.note == "140 kg on the bar, mean load over the range of motion"


@pytest.mark.parametrize(("height_m", "kg"), [(0.2, 160), (0.35, 170), (0.5, 180), (0.8, 200)])
def test_at_a_named_height_the_total_there_counts(height_m, kg):
    assert single(height_m).load.in_kg == pytest.approx(kg, abs=0.001)


def test_it_is_never_a_tested_max():
    assert single().kind is EvidenceKind.BANDED_SINGLE
    assert not single().is_single


@pytest.mark.parametrize("height_m", [0.19, 0.81])
def test_a_height_off_the_bar_path_is_refused(height_m):
    with pytest.raises(EvidenceError, match="off the bar path"):
        single(height_m)
