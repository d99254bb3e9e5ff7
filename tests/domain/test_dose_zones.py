"""Zone tables in their printed variants (checks.md A, Z rows)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strength_published import PUBLISHED

from heftwright.domain.dose import Scheme
from heftwright.domain.dose.zones import (
    LABEL,
    Against,
    Zone,
    ZonePlace,
    ZoneTable,
    ZoneTableError,
    effective_ratio,
    judge,
    load_zone_tables,
    number_of_lifts,
    read_zone_table,
    share_of_lifts_pct,
)

TABLES = load_zone_tables()


def test_variant_b_has_half_open_rows_that_touch():
    # checks.md Z1: Prilepin's table as printed by Hristov 2005 (secondary).
    row = PUBLISHED["Z1"]
    assert [TABLES["B"].find(pct).label for pct in row.input] == row.expected


def test_variant_a_says_when_a_value_lies_in_a_printed_gap():
    # checks.md Z2: McCullough copy (secondary).
    row = PUBLISHED["Z2"]
    assert [TABLES["A"].find(pct).label for pct in row.input] == row.expected


def test_a_gap_names_both_neighbours():
    # checks.md Z2.
    hit = TABLES["A"].find(67.5)
    assert hit.place is ZonePlace.GAP
    assert hit.zone is None
    assert [zone.name for zone in hit.neighbours] == ["55-65", "70-75"]


@pytest.mark.parametrize("variant", ["A", "B"])
def test_75_percent_as_6_sets_of_3(variant):
    # checks.md Z4: both variants agree.
    row = PUBLISHED["Z4"]
    zone = TABLES[variant].find(row.input["pct"]).zone
    verdict = judge(zone, Scheme(row.input["sets"], row.input["reps"]))
    assert verdict.lifts == row.expected["NL"]
    assert f"{verdict.against_range} {zone.total[0]}-{zone.total[1]}" == row.expected["vs_range"]
    assert verdict.off_optimal == row.expected["vs_opt"]
    assert verdict.reps_per_set_ok is row.expected["reps_per_set_ok"]


def test_number_of_lifts_from_tonnage_and_mean_weight():
    # checks.md Z6.
    row = PUBLISHED["Z6"]
    assert [number_of_lifts(case["t"], case["avg_kg"]) for case in row.input] == row.expected


def test_share_of_a_years_lifts_at_90_percent_and_more():
    # checks.md Z7: Laputin & Oleshko (secondary).
    row = PUBLISHED["Z7"]
    shares = [share_of_lifts_pct(n, row.input["total"]) for n in row.input["n90"]]
    assert shares == pytest.approx(row.expected, abs=row.tolerance)


def _record(total, optimal):
    zone = {"name": "90+", "low_pct": 90, "high_pct": 200, "reps": [1, 2]}
    zone |= {"range": total, "optimal": optimal}
    return {"key": "X", "source": "a print", "is_closed": False, "zones": [zone]}


def test_the_print_with_shifted_columns_is_rejected():
    # checks.md Z8: a 2012 copy prints optimal 4 and "10" as the range.
    assert PUBLISHED["Z8"].expected == "reject"
    with pytest.raises(ZoneTableError, match="is no range"):
        read_zone_table(_record(10, 4))
    with pytest.raises(ZoneTableError, match="columns are shifted"):
        read_zone_table(_record([4, 10], 4))
    assert read_zone_table(_record([4, 10], 7)).zones[0].optimal == 7


def test_the_top_of_a_banded_lift_at_exactly_80_counts_with_the_row_below():
    # maxes.md: common practice, no source; the default for banded work.
    assert TABLES["B"].find_banded(80).label == "70-79"
    assert TABLES["B"].find(80).label == "80-89"
    assert TABLES["B"].find_banded(80.1).label == "80-89"


@given(st.floats(0, 150))
def test_variant_b_has_a_row_for_every_intensity(pct):
    assert TABLES["B"].find(pct).place is ZonePlace.IN_ZONE


@given(st.floats(0, 150))
def test_variant_a_finds_one_row_or_says_why_not(pct):
    hit = TABLES["A"].find(pct)
    assert (hit.zone is None) == (hit.place is not ZonePlace.IN_ZONE)
    assert len(hit.neighbours) == {"in_zone": 0, "gap": 2}.get(hit.place.value, 1)


def test_too_few_and_too_many_lifts_are_told_apart():
    zone = TABLES["B"].find(75).zone
    assert judge(zone, Scheme(3, 3)).against_range is Against.BELOW
    assert judge(zone, Scheme(8, 3)).against_range is Against.INSIDE
    assert judge(zone, Scheme(9, 3)).against_range is Against.ABOVE
    assert not judge(zone, Scheme(12, 2)).reps_per_set_ok


def test_rows_must_not_overlap_and_limits_must_rise():
    low = Zone("low", 50, 70, (3, 6), 18, (12, 24))
    with pytest.raises(ZoneTableError, match="overlap"):
        ZoneTable(
            "X", "print", is_closed=False, zones=(low, Zone("high", 65, 80, (3, 6), 18, (12, 24)))
        )
    with pytest.raises(ZoneTableError, match="must rise"):
        Zone("x", 70, 70, (3, 6), 18, (12, 24))
    with pytest.raises(ZoneTableError, match="no rows"):
        ZoneTable("X", "print", is_closed=False, zones=())
    with pytest.raises(ZoneTableError, match="reps a set"):
        Zone("x", 70, 80, (0, 6), 18, (12, 24))


def test_impossible_counts_are_refused():
    with pytest.raises(ZoneTableError, match="cannot be"):
        share_of_lifts_pct(5, 4)
    with pytest.raises(ZoneTableError, match="above 0"):
        number_of_lifts(100, 0)


def test_the_table_says_that_it_is_borrowed():
    assert "Borrowed from weightlifters" in LABEL


def test_effective_intensity_is_bar_and_top_share_unless_the_gym_takes_the_mean():
    # Common practice: 50, 55, 60 % on the bar with 25 % from bands is 75, 80, 85 % at lockout.
    assert [effective_ratio(bar, 0.25) for bar in (0.50, 0.55, 0.60)] == pytest.approx(
        [0.75, 0.80, 0.85]
    )
    assert effective_ratio(0.50, 0.25, 0.14) == pytest.approx(0.64)
