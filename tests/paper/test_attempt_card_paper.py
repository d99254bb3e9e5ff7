"""The attempt card of a contest day."""

import re
import shutil
import subprocess
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from heftwright.domain.mass import Mass, MassUnit
from heftwright.paper.attempt_card import (
    Attempt,
    AttemptCard,
    EventPlan,
    WarmUp,
    attempt_card_pdf,
)
from heftwright.paper.press import PaperError

DEADLIFT = EventPlan(
    "Max deadlift", "three attempts, heaviest counts", "likely 245 kg (236–253 kg)",
    (
        Attempt("opener", Mass.kg("225"), 0.961, "stay at 225 kg"),
        Attempt("second", Mass.kg("240"), 0.78, "stay at 240 kg, or leave it"),
        Attempt("third", Mass.kg("247.5"), 0.45),
    ),
    (WarmUp(35, Mass.kg("70"), 5), WarmUp(20, Mass.kg("140"), 2), WarmUp(8, Mass.kg("200"), 1)),
    ("Straps are allowed.",),
)  # fmt: skip
CARD = AttemptCard(
    "Quarry Games", date(2027, 4, 3), 22, "Олена Коваль", "women, open", MassUnit.KG,
    (DEADLIFT, EventPlan("Yoke 20 m", "fastest over the course", "likely 13 s (12–15 s)")),
    9, datetime(2027, 4, 2, 20, 0, tzinfo=UTC), ("First contest: the opener is light on purpose.",),
)  # fmt: skip


def words(pdf, tmp_path):
    (tmp_path / "card.pdf").write_bytes(pdf)
    run = subprocess.run(["pdftotext", tmp_path / "card.pdf", "-"], capture_output=True, check=True)
    return re.sub(r"\s+", " ", run.stdout.decode())


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_day_of_five_events_is_one_page_in_our_face(paper):
    pdf = attempt_card_pdf(replace(CARD, events=(DEADLIFT, *4 * CARD.events[1:])), paper=paper)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1
    assert all(b"SofiaSans" in name for name in re.findall(rb"/BaseFont/([^/\s]+)", pdf))


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_attempts_chances_fall_backs_and_warm_up_are_on_the_card(tmp_path):
    text = words(attempt_card_pdf(CARD), tmp_path)
    for piece in (
        "22", "Олена", "Коваль", "225 kg", "more than 9 in 10", "about 8 in 10", "247.5 kg",
        "if missed: stay at 225 kg", "20 min before: 140 kg × 2", "Straps are allowed.",
        "1. Max deadlift", "2. Yoke 20 m", "Plan 9, made 2 Apr 20:00", "Your coach decides.",
        "First contest",
    ):  # fmt: skip
        assert piece in text


def test_words_of_people_are_set_as_words_and_never_run():
    bad = EventPlan('#panic("run")', "$x", "#read(1)", (), (), ("]#panic()[",))
    assert attempt_card_pdf(replace(CARD, events=(bad,), name="#panic()", is_minor=True))


def test_a_contest_without_events_has_no_card_yet():
    with pytest.raises(PaperError, match="Quarry Games has no events yet"):
        attempt_card_pdf(replace(CARD, events=()))


@pytest.mark.parametrize("chance", [-0.1, 1.2, float("nan")])
def test_a_chance_is_from_nought_to_one(chance):
    with pytest.raises(PaperError, match="opener's chance must be from 0 to 1"):
        Attempt("opener", Mass.kg("100"), chance)


def test_a_small_chance_is_not_called_none():
    small = replace(DEADLIFT, attempts=(Attempt("third", Mass.kg("300"), 0.01),))
    assert attempt_card_pdf(replace(CARD, events=(small,))) != attempt_card_pdf(CARD)
