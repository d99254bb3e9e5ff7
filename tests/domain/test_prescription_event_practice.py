"""The implement day takes its loads from the contest ahead."""

from dataclasses import replace
from datetime import date

from heftwright.domain.catalogue import EventFamily, Implement, LiftKey, Slot, load_catalogue
from heftwright.domain.contest import Contest, ContestEvent, ContestId, EventStyle
from heftwright.domain.mass import Mass
from heftwright.domain.prescription.event_loads import at_once
from heftwright.domain.prescription.event_practice import event_ahead, station_line
from heftwright.domain.season import SlotWork
from heftwright.domain.stock import ImplementUnit, Stock

CATALOGUE = load_catalogue()
YOKE = CATALOGUE[LiftKey("yoke")]
MONDAY = date(2027, 1, 4)
EVENT = ContestEvent(
    "Yoke 20 m", EventFamily.YOKE, EventStyle.RUN, Implement.YOKE,
    load_men=Mass.kg(300), load_women=Mass.kg(180), time_cap_s=60, course_m=20.0,
)  # fmt: skip
CONTEST = Contest(
    ContestId("c"), "Rock day", date(2027, 2, 6), 3, squad_taper=True, events=(EVENT,)
)
STOCK = Stock(
    implements=(ImplementUnit("yoke", "Yoke", Implement.YOKE, Mass.kg(92), takes_plates=True),)
)


def work(step=0, **more):
    return SlotWork(Slot.IMPLEMENT, MONDAY, YOKE.key, scheme_step=step, **more)


def test_heavy_practice_is_ninety_percent_of_the_contests_load_rounded_down():
    # Common practice, no source.
    line = station_line(work(0), YOKE, [CONTEST], STOCK)
    assert "men 270 kg, women 160 kg" in line
    assert "Yoke 20 m" in line


def test_fast_practice_is_three_quarters_of_the_contests_load():
    # Common practice, no source.
    assert "men 225 kg, women 135 kg" in station_line(work(1), YOKE, [CONTEST], STOCK)


def test_an_implement_that_was_never_weighed_gets_no_load():
    # trust.md: implement or chain never weighed: dated weigh-in, or it cannot be prescribed.
    unweighed = Stock(implements=(ImplementUnit("yoke", "Yoke", Implement.YOKE, None),))
    line = station_line(work(), YOKE, [CONTEST], unweighed)
    assert line == "Yoke carry: weigh Yoke first; no load is given until then."


def test_a_contest_that_is_over_asks_for_nothing():
    over = replace(CONTEST, on=date(2026, 12, 5))
    assert event_ahead(YOKE, [over], MONDAY) is None
    assert "no contest asks for it yet" in station_line(work(), YOKE, [over], STOCK)


def test_a_load_that_is_not_announced_is_not_invented():
    rising = replace(CONTEST, events=(replace(EVENT, load_men=None, load_women=None),))
    assert "not announced" in station_line(work(), YOKE, [rising], STOCK)


def test_a_taper_week_halves_the_practice():
    assert "half the runs" in station_line(work(is_taper=True), YOKE, [CONTEST], STOCK)


BAG = CATALOGUE[LiftKey("sandbag_shoulder")]
BAG_EVENT = replace(
    EVENT, name="Sandbag to shoulder", family=EventFamily.SANDBAG, style=EventStyle.REPS,
    implement=Implement.SANDBAG, load_men=Mass.kg(80), load_women=Mass.kg(50),
)  # fmt: skip
BAG_DAY = replace(CONTEST, events=(BAG_EVENT,))
BAGS = Stock(
    implements=(
        ImplementUnit("50", "Sandbag 50", Implement.SANDBAG, Mass.kg("50.4")),
        ImplementUnit("80", "Sandbag 80", Implement.SANDBAG, Mass.kg("79.1"), 2),
    )
)


def bag_work(step):
    return replace(work(step), lift=BAG.key)


def test_a_bag_cannot_be_loaded_so_the_nearest_owned_at_or_below_is_named():
    # Common practice, no source: 75 % of 80 kg is 60 kg, and 50.4 kg is the nearest bag below.
    line = station_line(bag_work(1), BAG, [BAG_DAY], BAGS)
    assert "men 50.4 kg sandbag (60 kg meant, contest 80 kg)" in line


def test_a_bag_heavier_than_the_contests_is_not_for_those_it_is_too_heavy_for():
    line = station_line(bag_work(1), BAG, [BAG_DAY], BAGS)
    assert "women no sandbag this light: 50.4 kg is above the contest's 50 kg" in line
    assert "not for those it is too heavy for" in line


def test_a_bag_between_the_practice_load_and_the_contests_is_for_those_who_move_it_well():
    heavier = replace(BAG_DAY, events=(replace(BAG_EVENT, load_women=Mass.kg(55)),))
    line = station_line(bag_work(0), BAG, [heavier], BAGS)
    assert "women 50.4 kg sandbag (47.5 kg meant, contest 55 kg; none is lighter" in line


def test_a_yoke_weighs_what_it_weighs_without_plates():
    light = replace(CONTEST, events=(replace(EVENT, load_women=Mass.kg(100)),))
    line = station_line(work(0), YOKE, [light], STOCK)
    assert "men 270 kg" in line
    assert "women the lightest yoke as it stands, 92 kg (contest 100 kg)" in line


def test_three_bags_serve_three_at_once_and_a_yoke_is_shared():
    assert at_once(Implement.SANDBAG, BAGS) == 3
    assert at_once(Implement.YOKE, STOCK) is None
