"""What the measuring pages are about: bands, pegs and plates, and one lifter with a max."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from floor_cast import ROW, TERMINAL

from heftwright.domain.catalogue import Implement, LiftKey
from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Chain,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
)
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.usecases import maxes, squad
from heftwright.usecases import stock as stocks

TOVE = AthleteId("a7")
LIFT = LiftKey("deadlift")


def reading(cm, kg, on, *, side=Side.BOTH, way=ReadingDirection.UP, rig=RigKind.CHOKED):
    return BandReading(Length.cm(str(cm)), Mass.kg(str(kg)), on, side, way, rig)


def slate(on: date) -> Band:
    """Read at three lengths, doubled."""
    pulls = ((62, 7.3), (80, 13.6), (98, 18.1))
    return _read("slate", "Slate band", 6, pulls, on)


def coal(on: date) -> Band:
    """Read at three lengths, doubled; the strongest."""
    pulls = ((62, 14.1), (80, 26.0), (98, 34.8))
    return _read("coal", "Coal band", 2, pulls, on)


def _read(key: str, name: str, pairs: int, pulls, on: date) -> Band:
    return Band(
        key, name, pairs, Length.cm("102.5"),
        tuple(reading(cm, kg, on, rig=RigKind.DOUBLED) for cm, kg in pulls),
        safe_length=Length.cm(230), inspected_on=on,
    )  # fmt: skip


def moss() -> Band:
    """Never read."""
    return Band("moss", "Moss band", 4, Length.cm(103), inspected_on=None)


def gear(on: date) -> Stock:
    plates = ((25, 54), (20, 46), (10, 30), (5, 27), (2.5, 20), (1.25, 15))
    return Stock(
        bars=(Bar("bar", "Straight bar", Implement.STRAIGHT_BAR, Mass.kg(20), Mass.kg("2.5")),),
        plates=tuple(
            PlatePair(f"p{kg}", Mass.kg(str(kg)), 6, thickness=Length.mm(mm)) for kg, mm in plates
        ),
        bands=(slate(on), coal(on), moss()),
        chains=(Chain("links", "Links", 4, Mass.kg("5.1"), Length.m("1.6"), Mass.kg("0.6"),
                      known_on=date(2026, 8, 30)),),
        platforms=(
            Platform("A", peg_heights=(Length.cm(4), Length.cm(20)), peg_offset=Length.cm(60)),
            Platform("B", peg_heights=(Length.cm(4),), peg_offset=Length.cm(60)),
        ),
    )  # fmt: skip


def fit_out(on: date) -> None:
    """Give the gym its gear and Tove her lockout and her max."""
    stocks.replace_stock(gym=ROW, by=TERMINAL, stock=gear(on - timedelta(days=3)))
    tove = squad.get_athlete(gym=ROW, athlete=TOVE)
    taped = replace(tove.heights, pull_lockout=Length.cm(78))
    squad.change_athlete(gym=ROW, by=TERMINAL, athlete=replace(tove, heights=taped))
    maxes.record_max(
        gym=ROW, by=TERMINAL,
        evidence=Evidence(TOVE, LIFT, EvidenceKind.TEST, Mass.kg(200), on),
    )  # fmt: skip
