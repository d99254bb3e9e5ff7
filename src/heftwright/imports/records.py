"""What an import knows beforehand and what it yields; all of it domain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from heftwright.domain.catalogue import Catalogue, LiftKey, load_catalogue
from heftwright.domain.contest import Contest
from heftwright.domain.dose.waves import WaveTemplate
from heftwright.domain.height import EnteredLength
from heftwright.domain.mass import EnteredMass, Mass
from heftwright.domain.squad import Athlete, AthleteId, ClassTime
from heftwright.domain.stock import Stock
from heftwright.domain.strength.evidence import Evidence


@dataclass(frozen=True, slots=True)
class KnownGym:
    """What the gym has on record, against which a file is read.

    Parameters
    ----------
    today : date
        The gym's day.
    athletes, stock, contests, classes
        As on record; empty for a new gym.
    maxes : Mapping
        (athlete, lift) -> the max in use, tested or estimated.
    evidence : frozenset of Evidence
        Every test, contest result and rep set that stands.
    waves : tuple of WaveTemplate
        The coach's own; those that ship are not among them.
    catalogue : Catalogue
        The lifts.
    """

    today: date
    athletes: tuple[Athlete, ...] = ()
    stock: Stock = field(default_factory=Stock)
    contests: tuple[Contest, ...] = ()
    classes: tuple[ClassTime, ...] = ()
    maxes: Mapping[tuple[AthleteId, LiftKey], Mass] = field(default_factory=dict)
    evidence: frozenset[Evidence] = frozenset()
    waves: tuple[WaveTemplate, ...] = ()
    catalogue: Catalogue = field(default_factory=load_catalogue)


@dataclass(frozen=True, slots=True)
class Written:
    """A mass or length exactly as the file had it.

    Parameters
    ----------
    sheet : str
        Key of the sheet.
    record : str
        Key of the athlete, stock item or contest; ``"athlete/lift/date"`` for a max.
    column : str
        Key of the column.
    value : EnteredMass or EnteredLength
        Value and unit.
    """

    sheet: str
    record: str
    column: str
    value: EnteredMass | EnteredLength


@dataclass(frozen=True, slots=True)
class ImportRecords:
    """What is good in the files, ready to be saved; nothing of it is saved yet.

    Every record is complete: merged with what the gym already knew under the same key.

    Parameters
    ----------
    athletes : tuple of Athlete
        New ones have ids ``athlete-<number>``.
    maxes : tuple of Evidence
        Tests, contest results and rep sets; ``written`` has their loads as entered.
    stock : Stock
        Only the items that the files hold.
    contests, classes
        With their events and entries; with their members.
    waves : tuple of WaveTemplate
        The coach's own, in the place of those that ship.
    written : tuple of Written
        Masses and lengths as entered, so that pounds stay pounds.
    """

    athletes: tuple[Athlete, ...] = ()
    maxes: tuple[Evidence, ...] = ()
    stock: Stock = field(default_factory=Stock)
    contests: tuple[Contest, ...] = ()
    classes: tuple[ClassTime, ...] = ()
    waves: tuple[WaveTemplate, ...] = ()
    written: tuple[Written, ...] = ()

    @property
    def count(self) -> int:
        """How many records there are."""
        stock = self.stock
        parts = (stock.bars, stock.plates, stock.bands, stock.chains, stock.blocks)
        more = (stock.implements, stock.platforms, tuple(stock.kit), self.athletes, self.maxes)
        return sum(len(part) for part in (*parts, *more, self.contests, self.classes, self.waves))
