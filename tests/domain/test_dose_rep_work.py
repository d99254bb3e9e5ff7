"""Circuits: stations × intervals × equipment, for weak points and within exposures."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from heftwright.domain.catalogue import KitKey, Region, WeakPoint, load_catalogue
from heftwright.domain.dose.rep_work import (
    CircuitError,
    CircuitWish,
    DoseMeasure,
    build_circuit,
    load_stations,
)

STOCK = {KitKey(key): 6 for key in load_catalogue().athletes_per_unit}


def wish(**changes):
    base = {"lifters": 12, "minutes": 15, "weak_points": {WeakPoint.GRIP: 1.0}, "stock": STOCK}
    return CircuitWish(**(base | changes))


def test_the_weak_point_gets_its_station_first_but_not_all_of_them():
    circuit = build_circuit(wish())
    grip = [station for station in circuit.stations if "grip" in station.trains]
    assert grip
    assert len(grip) < len(circuit.stations)


def test_neighbouring_stations_train_different_parts_where_possible():
    stations = build_circuit(wish()).stations
    for one, other in pairwise(stations):
        assert not set(one.trains) & set(other.trains)


def test_a_circuit_fits_its_minutes_and_seats_everybody():
    circuit = build_circuit(wish())
    assert circuit.minutes <= 15
    assert circuit.group_size * len(circuit.stations) >= 12
    assert circuit.words[0] == "3 rounds, 40 s work, 20 s change-over"
    assert len(circuit.words) == 1 + len(circuit.stations)


def test_what_the_week_has_left_of_a_region_is_kept():
    circuit = build_circuit(wish(exposure_left={Region.GRIP: 0.0, Region.SPINE: 0.9}))
    assert circuit.exposure(Region.GRIP) == 0
    assert circuit.exposure(Region.SPINE) <= 0.9


def test_a_station_without_enough_kit_stays_closed():
    circuit = build_circuit(wish(stock={}))
    assert all(not station.kit for station in circuit.stations)


@given(
    st.integers(1, 30), st.floats(4, 40), st.integers(2, 8), st.floats(0, 4),
    st.dictionaries(st.sampled_from(WeakPoint), st.floats(0, 1), max_size=4),
    st.integers(0, 8),
)  # fmt: skip
def test_every_circuit_keeps_time_kit_and_exposure(lifters, minutes, count, left, weak, units):
    wanted = wish(
        lifters=lifters, minutes=minutes, stations=count, weak_points=weak,
        exposure_left={Region.KNEE: left}, stock=dict.fromkeys(STOCK, units),
    )  # fmt: skip
    try:
        circuit = build_circuit(wanted)
    except CircuitError:
        assume(False)
    assert circuit.minutes <= minutes + 1e-9
    assert circuit.exposure(Region.KNEE) <= left + 1e-9
    assert len({station.key for station in circuit.stations}) == len(circuit.stations)
    for kit in STOCK:
        users = sum(kit in station.kit for station in circuit.stations)
        assert users * circuit.group_size <= max(units, 0) or users == 0


def test_no_time_or_no_room_is_refused_with_a_way_out():
    with pytest.raises(CircuitError, match="Fewer than two stations"):
        build_circuit(wish(stock={}, exposure_left=dict.fromkeys(Region, 0.0)))
    with pytest.raises(CircuitError, match="2–8 stations"):
        wish(stations=1)
    with pytest.raises(CircuitError, match="10–120 s"):
        wish(work_s=5)


def test_every_station_uses_kit_of_the_catalogue_and_says_what_it_trains():
    known = set(load_catalogue().athletes_per_unit)
    for station in load_stations():
        assert set(station.kit) <= known
        assert station.trains
        assert 1 <= station.dose[0] <= station.dose[1]


def test_holds_are_given_in_seconds_carries_in_metres_and_lifts_in_reps():
    for station in load_stations():
        words = station.dose_words(40)
        if "hold" in station.name.lower():
            assert words[0].isdigit()
            assert words.endswith(" s")
        elif "carry" in station.name.lower() or "sled" in station.name.lower():
            assert words.endswith(" m")
        elif station.key in ("split_squat", "step_up"):
            assert words.endswith(" reps a leg")
        else:
            assert words.endswith(" reps")


@given(st.sampled_from(load_stations()), st.integers(10, 120))
def test_no_hold_is_longer_than_its_interval(station, work_s):
    words = station.dose_words(work_s)
    if station.measure is DoseMeasure.SECONDS:
        assert int(words.split()[0].split("–")[-1]) <= work_s


def test_what_is_asked_fits_forty_seconds():
    """A repetition takes at least 1.3 s, a metre with a load 1 s (common practice, no source)."""
    least_s = {"reps": 1.3, "reps a leg": 2.6, "s": 1.0, "m": 1.0}
    for station in load_stations():
        assert station.dose[1] * least_s[station.measure] <= 40, station.key
