"""Alerts are rare (trust.md H3): what a whole class is warned of is one question, not twelve."""

from dataclasses import dataclass

from heftwright.domain.sheet.shared_cautions import interruptions, shared_cautions

WIDE, OLD, BODY = "The max is a wide guess.", "Max over 26 weeks old.", "Bar heights estimated."


@dataclass(frozen=True)
class Line:
    name: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Platform:
    lifters: tuple[Line, ...]


@dataclass(frozen=True)
class Sheet:
    platforms: tuple[Platform, ...]


SHEET = Sheet(
    (
        Platform((Line("Ada", (WIDE,)), Line("Bo", (WIDE, OLD)), Line("Cy"))),
        Platform((Line("Di", (OLD, WIDE)), Line("Ed", (BODY,)))),
    )
)


def test_a_caution_of_several_is_said_once_with_everybody_it_means():
    found = [(one.words, one.names) for one in shared_cautions(SHEET)]
    assert found == [(WIDE, ("Ada", "Bo", "Di")), (OLD, ("Bo", "Di"))]


def test_a_caution_of_one_stays_that_ones_own():
    assert interruptions(SHEET) == (WIDE, OLD, BODY)


def test_a_sheet_without_cautions_interrupts_nobody():
    assert interruptions(Sheet((Platform((Line("Ada"),)),))) == ()
