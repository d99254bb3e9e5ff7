"""Pain is kept with care: who may say it, who may read it, and that reading shows."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from yard_cast import TERMINAL, YARD

from heftwright.domain.log import PainReport
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.squad import AthleteId
from heftwright.usecases import pain
from heftwright.usecases.actor import Actor
from heftwright.usecases.pain import PainReportError
from heftwright.usecases.permissions import ForbiddenError

ADA, BO = AthleteId("ada"), AthleteId("bo")
SAID = PainReport(
    ADA, "2026-11-23/mon-1830", "left knee", 4, datetime(2026, 11, 23, 19, tzinfo=UTC)
)
CARD = Actor.card_of(ADA, "Ada", YARD)


def test_an_athlete_says_and_reads_their_own(yard):
    pain.report_pain(gym=yard, by=CARD, report=SAID)
    assert pain.read_pain(gym=yard, by=CARD, athlete=ADA) == (SAID,)
    assert pain.read_pain(gym=yard, by=CARD, athlete=ADA, since=date(2026, 11, 24)) == ()


def test_nobody_elses_card_says_or_reads_it(yard):
    with pytest.raises(ForbiddenError, match="Ada's card"):
        pain.report_pain(gym=yard, by=CARD, report=replace(SAID, athlete=BO))
    with pytest.raises(ForbiddenError, match="Ada's card"):
        pain.read_pain(gym=yard, by=CARD, athlete=BO)


def test_the_wall_board_never_sees_it(yard):
    with pytest.raises(ForbiddenError, match="may not read health notes"):
        pain.read_pain(gym=yard, by=Actor.board(YARD), athlete=ADA)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"score_0_10": 11}, "outside 0–10"),
        ({"score_0_10": -1}, "outside 0–10"),
        ({"place": "  "}, "name the place"),
        ({"reported_at": datetime(2026, 11, 23, 19)}, "time zone"),  # noqa: DTZ001 - the mistake under test
    ],
)
def test_a_report_that_cannot_be_read_is_refused(yard, change, sentence):
    with pytest.raises(PainReportError, match=sentence):
        pain.report_pain(gym=yard, by=TERMINAL, report=replace(SAID, **change))


def test_pain_of_somebody_unknown_is_refused(yard):
    with pytest.raises(NotFoundError, match="no athlete"):
        pain.report_pain(gym=yard, by=TERMINAL, report=replace(SAID, athlete=AthleteId("x")))


def test_whoever_runs_the_class_learns_who_spoke_and_a_board_or_card_does_not(yard):
    assert pain.who_said_pain(gym=yard, by=TERMINAL, class_key=SAID.class_key) == frozenset()
    pain.report_pain(gym=yard, by=CARD, report=SAID)
    assert pain.who_said_pain(gym=yard, by=TERMINAL, class_key=SAID.class_key) == {ADA}
    assert pain.who_said_pain(gym=yard, by=TERMINAL, class_key="2026-11-24/other") == frozenset()
    for door in (CARD, Actor.board(YARD)):
        with pytest.raises(ForbiddenError, match="health"):
            pain.who_said_pain(gym=yard, by=door, class_key=SAID.class_key)
