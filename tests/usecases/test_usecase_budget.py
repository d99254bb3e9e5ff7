"""Reads take a fixed number of queries, however much there is (trust.md: 15 a page)."""

from __future__ import annotations

from datetime import date

import pytest
from yard_cast import TERMINAL, YARD, athlete, logged, monday_class, spring_contest

from heftwright.domain.catalogue import Implement, LiftKey
from heftwright.domain.contest import ContestId
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.stock import Band, BandReading, Bar, Stock
from heftwright.domain.strength import Evidence, EvidenceKind
from heftwright.usecases import accounts, contests, log, maxes, squad, stock, timetable, trail
from heftwright.usecases.log import LogFilter
from heftwright.usecases.permissions import Right, check_may

READING = BandReading(Length.cm(80), Mass.kg(20), date(2026, 11, 1))
QUERIES = {
    "squad": (4, lambda: squad.get_squad(gym=YARD)),
    "stock": (3, lambda: stock.get_stock(gym=YARD)),
    "contests": (5, lambda: contests.get_contests(gym=YARD)),
    "timetable": (4, lambda: timetable.get_timetable(gym=YARD)),
    "evidence": (2, lambda: maxes.get_evidence(gym=YARD)),
    "beliefs": (7, lambda: maxes.get_beliefs(gym=YARD)),
    "log": (2, lambda: log.get_log(gym=YARD)),
    "log of a class": (2, lambda: log.get_log(gym=YARD, of=LogFilter(class_key="x"))),
    "log version": (2, lambda: log.get_log_version(gym=YARD, class_key="x")),
    "trail": (2, lambda: trail.get_trail(gym=YARD)),
    "coaches": (2, lambda: accounts.get_coaches(gym=YARD)),
    "links": (2, lambda: accounts.get_links(gym=YARD)),
}


@pytest.fixture
def crowded(people):
    """Ten of everything."""
    by = {"gym": YARD, "by": TERMINAL}
    bars = tuple(Bar(f"b{n}", "B", Implement.AXLE, Mass.kg(15)) for n in range(10))
    bands = tuple(Band(f"r{n}", "R", 1, Length.cm(104), (READING,) * 3) for n in range(10))
    stock.replace_stock(**by, stock=Stock(bars=bars, bands=bands))
    for n in range(10):
        squad.add_athlete(**by, athlete=athlete(f"x{n}", 10 + n))
        who = AthleteId(f"x{n}")
        contests.add_contest(**by, contest=spring_contest(id=ContestId(f"c{n}")))
        timetable.add_class_time(**by, class_time=monday_class(key=f"k{n}", members=(who,)))
        accounts.make_card_link(**by, athlete=who)
        single = Evidence(who, LiftKey("bench"), EvidenceKind.TEST, Mass.kg(80), date(2026, 11, 1))
        maxes.record_max(**by, evidence=single, is_confirmed=True)
        log.log_sets(**by, sets=[logged(f"x{n}")])


@pytest.mark.parametrize("name", QUERIES)
def test_a_read_takes_few_queries(crowded, name, django_assert_max_num_queries):
    most, read = QUERIES[name]
    with django_assert_max_num_queries(most):
        read()


def test_asking_whether_a_coach_may_takes_two_queries(people, django_assert_max_num_queries):
    with django_assert_max_num_queries(2):
        check_may(people.owner, YARD, Right.PLAN_SEASON)
