"""Everything a coach enters reads back equal, as rows and as documents."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heftwright.domain.catalogue import EventFamily, Implement, LiftKey, Slot, load_catalogue
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.height import EnteredLength, Length, LengthUnit
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.squad import Athlete, AthleteId, ClassTime, Sex, Weekday
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
)
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.store import log_rows, plan_rows, records, squad_rows
from heftwright.store import models as rows
from heftwright.store.evidence_rows import keep
from heftwright.store.stock_rows import KitUnits

WHO = [AthleteId("a"), AthleteId("b"), AthleteId("c")]
NOON = datetime(2026, 11, 23, 12, tzinfo=UTC)
units = st.sampled_from(MassUnit)
masses = st.builds(EnteredMass, st.integers(1, 9_999_999), units).map(lambda item: item.mass)
written = st.builds(EnteredLength, st.integers(1, 999_999), st.sampled_from(LengthUnit))
lengths = written.map(lambda item: item.length)
names = st.text("abc éß'“,;\n", max_size=12)
keys = st.text("ab-1", min_size=1, max_size=8)
days = st.dates(date(1950, 1, 1), date(2100, 1, 1))
counts, some = st.integers(0, 30), st.integers(1, 9)
implements = st.sampled_from(Implement)
lifts = st.sampled_from(sorted(load_catalogue()))


def maybe(strategy):
    return st.none() | strategy


readings = st.builds(
    BandReading,
    lengths,
    masses,
    days,
    st.sampled_from(Side),
    st.sampled_from(ReadingDirection),
    st.sampled_from(RigKind),
)
events = st.builds(
    ContestEvent,
    name=names,
    family=st.sampled_from(EventFamily),
    style=st.sampled_from(EventStyle),
    implement=maybe(implements),
    start_height=maybe(lengths),
    grip=names,
    load_men=maybe(masses),
    load_women=maybe(masses),
    time_cap_s=maybe(st.integers(1, 600)),
    course_m=maybe(st.floats(1, 100)),
)
entries = st.builds(
    Entry,
    athlete=st.sampled_from(WHO),
    contest_class=names,
    need=st.dictionaries(names, st.floats(0.3, 2), max_size=3),
)
values = st.one_of(
    st.builds(
        Bar, keys, names, implements, masses, masses, lengths, st.integers(1, 9), maybe(masses)
    ),
    st.builds(PlatePair, keys, masses, counts, lengths, lengths, names, maybe(masses)),
    st.builds(
        Band,
        keys,
        names,
        counts,
        lengths,
        st.lists(readings, max_size=4).map(tuple),
        maybe(masses),
        maybe(lengths),
        maybe(days),
        maybe(days),
    ),
    st.builds(Chain, keys, names, counts, masses, lengths, masses),
    st.builds(Block, keys, lengths, counts, maybe(masses)),
    st.builds(
        ImplementUnit,
        keys,
        names,
        implements,
        maybe(masses),
        counts,
        maybe(lengths),
        maybe(days),
        st.booleans(),
    ),
    st.builds(Platform, keys, st.booleans(), st.lists(lengths, max_size=4).map(tuple), lengths),
    st.builds(KitUnits, keys, counts),
    st.builds(
        ClassTime,
        keys,
        st.sampled_from(Weekday),
        st.times(),
        st.integers(20, 240),
        st.sampled_from(Slot),
        names,
        st.lists(st.sampled_from(WHO), unique=True).map(tuple),
    ),
    st.builds(
        Contest,
        id=keys.map(ContestId),
        name=names,
        on=days,
        importance=st.integers(1, 3),
        squad_taper=st.booleans(),
        events=st.lists(events, min_size=1, max_size=3, unique_by=lambda item: item.name).map(
            tuple
        ),
        entries=st.lists(entries, max_size=3, unique_by=lambda item: item.athlete).map(tuple),
    ),
    st.builds(
        Evidence,
        athlete=st.sampled_from(WHO),
        lift=lifts,
        kind=st.just(EvidenceKind.REP_SET),
        load=st.builds(EnteredMass, st.integers(1, 1_000_000), units).map(lambda item: item.mass),
        on=days,
        reps=st.integers(1, 30),
        reps_in_reserve=st.floats(0, 10),
        note=names,
    ).map(keep),
)
moments = st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1))  # noqa: DTZ001 - zone is added
zones = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
logged_sets = st.builds(
    LoggedSet,
    id=st.uuids(),
    athlete=st.sampled_from(WHO),
    lift=lifts.map(LiftKey),
    class_key=names,
    set_number=st.integers(1, 40),
    load=st.builds(EnteredMass, st.integers(0, 9_999_999), units),
    reps_done=st.integers(0, 100),
    outcome=st.sampled_from(SetOutcome),
    reps_in_reserve=maybe(st.floats(0, 10)),
    plan_version=st.integers(0, 1000),
    logged_at=st.builds(lambda at, zone: at.replace(tzinfo=zone), moments, zones),
    corrects=maybe(st.uuids()),
    is_max_attempt=st.booleans(),
)
quick = settings(
    max_examples=70,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@pytest.fixture
def gym(db):
    """A gym with three athletes."""
    row = rows.Gym.objects.create(slug="g", name="G", time_zone="UTC")
    for number, key in enumerate(WHO, 1):
        squad_rows.write_athlete(row, Athlete(key, key.upper(), number, Sex.MAN))
    return row


@quick
@given(value=values)
def test_a_record_reads_back_equal_from_its_rows(gym, value):
    kind, key = records.kind_of(value), records.key_of(value)
    records.put_record(gym, value)
    assert records.read_record(gym, kind, key) == value
    records.drop_record(gym, kind, key)
    assert records.read_record(gym, kind, key) is None


@quick
@given(value=values)
def test_a_record_reads_back_equal_from_its_document(value):
    document = json.loads(json.dumps(records.document_of(value)))
    assert records.value_of(records.kind_of(value), document) == value


@quick
@given(first=values, second=values)
def test_a_changed_record_forgets_the_old_one(gym, first, second):
    records.put_record(gym, first)
    records.put_record(gym, second)
    kind, key = records.kind_of(second), records.key_of(second)
    assert records.read_record(gym, kind, key) == second


@quick
@given(fact=logged_sets)
def test_a_logged_set_reads_back_with_its_hash(gym, fact):
    athletes = squad_rows.athlete_rows(gym, set(WHO))
    log_rows.add_sets(gym, [fact], athletes, NOON)
    (back,) = log_rows.read_sets(log_rows.find_sets(gym, {"pk": fact.id}))
    assert back == fact
    assert back.content_hash == fact.content_hash == log_rows.hashes_of([fact.id])[fact.id]
    rows.LoggedSet.objects.all().delete()


def test_every_kind_of_record_has_a_place_to_read_and_write():
    assert set(records._TABLES) == set(records.RecordKind)


def test_subjects_come_after_what_they_lean_on():
    mixed = ["evidence/1", "contest/x", "athlete/a", "bar/b"]
    assert records.in_leaning_order(mixed) == ["athlete/a", "bar/b", "contest/x", "evidence/1"]


def test_versions_of_plans_only_rise_and_each_is_kept(gym):
    season = {"gym": "g", "kind": dict[str, int], "made_by": "Hal"}
    for week in (1, 2):
        number = plan_rows.next_season_version("g")
        assert plan_rows.save_season_plan(**season, plan={"w": week}, problem_digest="d") == number
    latest = plan_rows.get_season_plan(gym="g", kind=dict[str, int])
    first = plan_rows.get_season_plan(gym="g", kind=dict[str, int], version=1)
    assert (latest.version, latest.plan, latest.problem_digest) == (2, {"w": 2}, "d")
    assert (first.version, first.plan, first.made_by) == (1, {"w": 1}, "Hal")
    assert [line.version for line in plan_rows.list_season_plans(gym="g")] == [2, 1]
    assert plan_rows.get_season_plan(gym="g", kind=dict[str, int], version=3) is None


def test_each_dated_class_counts_its_own_versions(gym):
    monday, next_monday = date(2026, 11, 23), date(2026, 11, 30)
    for on in (monday, monday, next_monday):
        plan_rows.save_class_plan(
            gym="g", class_key="mon", on=on, plan=("x",), kind=tuple[str, ...], made_by="Hal"
        )
    assert plan_rows.latest_class_version(gym="g", class_key="mon", on=monday) == 2
    assert plan_rows.next_class_version("g", "mon", next_monday) == 2
    assert plan_rows.latest_class_version(gym="g", class_key="tue", on=monday) == 0
    assert [line.version for line in plan_rows.list_class_plans(gym="g", on=monday)] == [2, 1]
    assert len(plan_rows.list_class_plans(gym="g")) == 3
    asked = {"gym": "g", "class_key": "mon", "on": monday, "kind": tuple[str, ...]}
    assert plan_rows.get_class_plan(**asked, version=1).plan == ("x",)
    assert plan_rows.get_class_plan(**(asked | {"class_key": "tue"})) is None


def test_an_item_of_length_in_millimetres_is_kept(gym):
    block = Block("b", Length.mm("112.5"), 1)
    records.put_record(gym, block)
    assert records.read_record(gym, records.RecordKind.BLOCK, "b") == block
