"""The squad: nobody is confused with somebody else, and nothing is lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from yard_cast import OTHER, TERMINAL, YARD, athlete, logged

from heftwright.domain.catalogue import WeakPoint
from heftwright.domain.height import Length
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import Athlete, AthleteError, AthleteId, BarHeights, Restriction, Sex
from heftwright.domain.squad.measures import BAR_HEIGHTS, BODY_MASSES, STATURES
from heftwright.imports.sheets import SQUAD
from heftwright.store import squad_rows
from heftwright.store.gym_rows import find_gym
from heftwright.usecases import log, squad
from heftwright.usecases.changes import ChangedMeanwhileError, seen

ADA = AthleteId("ada")
entered = st.builds(EnteredMass, st.integers(1, 9_999_999), st.sampled_from(MassUnit))
heights = st.none() | st.integers(1, 30_000).map(lambda mm10: Length(mm10 * 1000))
days = st.none() | st.dates()
names = st.text("abc éß'-", min_size=1, max_size=12).filter(str.strip)
restrictions = st.builds(
    Restriction, st.sampled_from(["overhead", "log_press"]), st.dates(), days, st.just("knee")
).flatmap(
    lambda rule: st.sampled_from(
        (rule, replace(rule, cleared_on=rule.since, cleared_by="Head coach"))
    )
)
athletes = st.builds(
    Athlete,
    id=st.just(ADA),
    name=names,
    number=st.integers(50, 9999),
    sex=st.sampled_from(Sex),
    born_on=days,
    body_mass=st.none() | entered.map(lambda item: item.mass),
    stature=heights,
    heights=st.builds(BarHeights, *[heights] * 7),
    weak_points=st.dictionaries(st.sampled_from(WeakPoint), st.floats(0, 1), max_size=4),
    restrictions=st.lists(restrictions, max_size=3).map(tuple),
    priority=st.floats(0.5, 3),
    away_since=days,
    back_on=days,
    guardian=names,
    supervisor=names,
    joined_on=days,
)


@settings(
    max_examples=40,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(value=athletes)
def test_an_athlete_reads_back_as_entered(yard, value):
    squad_rows.write_athlete(find_gym(YARD), value)
    back = squad.get_athlete(gym=yard, athlete=ADA)
    assert back == value
    assert [type(point) for point in back.weak_points] == [WeakPoint] * len(value.weak_points)


def test_the_squad_is_called_by_number(yard):
    squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("zed", 12))
    squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("abe", 7))
    assert [item.number for item in squad.get_squad(gym=yard)] == [1, 2, 3, 7, 12]


def test_two_athletes_never_share_a_number(yard):
    with pytest.raises(squad.SquadError, match="Number 2 is Bo's: give Dot another"):
        squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("dot", 2))
    with pytest.raises(squad.SquadError, match="Number 2 is Bo's"):
        squad.change_athlete(gym=yard, by=TERMINAL, athlete=athlete("ada", 2))


def test_a_key_never_names_somebody_else_even_after_leaving(yard):
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    with pytest.raises(squad.SquadError, match="is or was another athlete's key"):
        squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("ada", 9))
    assert squad.propose_athlete_id(gym=yard, name="Ada") == "ada-2"


def test_a_key_is_made_from_the_name(yard):
    assert squad.propose_athlete_id(gym=yard, name="  Zoë O'Hara ") == "zoe-o-hara"
    assert squad.propose_athlete_id(gym=yard, name="武") == "athlete"


def test_the_next_number_was_never_anybodys(yard):
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=AthleteId("cy"))
    assert squad.propose_number(gym=yard) == 4


def test_who_leaves_is_out_of_the_squad_but_their_log_is_kept(yard):
    fact = logged("ada")
    log.log_sets(gym=yard, by=TERMINAL, sets=[fact])
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    assert [item.id for item in squad.get_squad(gym=yard)] == ["bo", "cy"]
    assert log.get_log(gym=yard) == (fact,)


def test_who_left_comes_back_as_they_were(yard):
    before = squad.get_athlete(gym=yard, athlete=ADA)
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    squad.restore_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    assert squad.get_athlete(gym=yard, athlete=ADA) == before


def test_who_is_there_cannot_come_back(yard):
    with pytest.raises(squad.SquadError, match="in the squad already"):
        squad.restore_athlete(gym=yard, by=TERMINAL, athlete=ADA)


def test_who_comes_back_needs_a_free_number(yard):
    squad.remove_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete("dot", 1))
    with pytest.raises(squad.SquadError, match="Number 1 is Dot's"):
        squad.restore_athlete(gym=yard, by=TERMINAL, athlete=ADA)
    assert [item.id for item in squad.get_squad(gym=yard)] == ["dot", "bo", "cy"]


def test_of_two_coaches_the_later_is_told_and_the_earlier_change_stands(yard):
    shown = squad.get_athlete(gym=yard, athlete=ADA)
    squad.change_athlete(
        gym=yard, by=TERMINAL, athlete=replace(shown, name="Ada L."), was_seen=seen(shown)
    )
    with pytest.raises(ChangedMeanwhileError, match="changed by somebody else"):
        squad.change_athlete(
            gym=yard, by=TERMINAL, athlete=replace(shown, priority=2.0), was_seen=seen(shown)
        )
    assert squad.get_athlete(gym=yard, athlete=ADA).name == "Ada L."


def test_a_restriction_is_added_and_cleared_by_name_and_the_record_keeps_it(yard):
    rule = Restriction("overhead", date(2026, 11, 1), None, "shoulder")
    squad.add_restriction(gym=yard, by=TERMINAL, athlete=ADA, restriction=rule)
    assert squad.get_athlete(gym=yard, athlete=ADA).restrictions == (rule,)
    clearing = {"cleared_on": date(2026, 12, 1), "cleared_by": "A. Physio"}
    with pytest.raises(AthleteError, match="name of who"):
        squad.clear_restriction(
            gym=yard, by=TERMINAL, athlete=ADA, restriction=rule, **(clearing | {"cleared_by": " "})
        )
    squad.clear_restriction(gym=yard, by=TERMINAL, athlete=ADA, restriction=rule, **clearing)
    assert squad.get_athlete(gym=yard, athlete=ADA).restrictions == (replace(rule, **clearing),)
    with pytest.raises(squad.SquadError, match="no open restriction “overhead”"):
        squad.clear_restriction(gym=yard, by=TERMINAL, athlete=ADA, restriction=rule, **clearing)


@pytest.mark.parametrize("who", ["nobody", "Ada", ""])
def test_an_athlete_who_is_not_there_is_not_found(yard, who):
    with pytest.raises(NotFoundError, match="no athlete"):
        squad.get_athlete(gym=yard, athlete=AthleteId(who))


def test_another_gyms_athlete_is_not_there(yard):
    with pytest.raises(NotFoundError, match="no athlete"):
        squad.get_athlete(gym=OTHER, athlete=ADA)


def test_reading_the_squad_takes_four_queries_however_many_there_are(
    yard, django_assert_max_num_queries
):
    for number in range(10, 40):
        squad.add_athlete(gym=yard, by=TERMINAL, athlete=athlete(f"a{number}", number))
    with django_assert_max_num_queries(4):
        squad.get_squad(gym=yard)


@pytest.mark.parametrize(
    ("measures", "sentence"),
    [
        ({"stature": Length.cm("1.8")}, "Stature 1.8 cm is not between 100 cm and 230 cm"),
        ({"body_mass": Mass.kg(980)}, "Body mass 980 kg is not between 25 kg and 250 kg"),
        ({"heights": BarHeights(overhead=Length.cm(22))}, "Overhead 22 cm is not between"),
    ],
)
def test_a_measure_that_nobody_has_is_refused(yard, measures, sentence):
    # a body mass of 980 kg made a deadlift of 1 903 kg out of nothing
    ada = squad.get_athlete(gym=yard, athlete=ADA)
    with pytest.raises(squad.MeasuresRefusedError, match=sentence):
        squad.change_athlete(gym=yard, by=TERMINAL, athlete=replace(ada, **measures))
    with pytest.raises(squad.MeasuresRefusedError, match=sentence):
        squad.add_athlete(gym=yard, by=TERMINAL, athlete=replace(athlete("dot", 9), **measures))
    assert squad.get_athlete(gym=yard, athlete=ADA) == ada


def test_the_spreadsheet_door_and_the_desk_hold_the_same_measures_for_possible():
    columns = {column.key: column for column in SQUAD.columns}
    limits = {"body_mass": BODY_MASSES, "stature": STATURES, **BAR_HEIGHTS}
    for name, (low, high) in limits.items():
        told = (columns[name].lowest, columns[name].highest)
        whole = Mass.kg(1).ticks if name == "body_mass" else Length.cm(1).ticks
        assert told == (low.ticks * 1000 // whole, high.ticks * 1000 // whole), name
