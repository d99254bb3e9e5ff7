"""A season plan: which work each slot of each week gets."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from heftwright.domain.catalogue import LiftKey, MaxEffortScheme, Resistance, Slot
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.work import SlotWork

Cell = tuple[Slot, date]
_Content = frozenset[tuple[LiftKey, Resistance, int, MaxEffortScheme | None]]


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """A season as planned.

    Parameters
    ----------
    start : date
        Monday of the first week.
    weeks : int
        Length [weeks].
    work : tuple of SlotWork
        In order of week, slot and lift.
    notes : tuple of str
        What the coach should know: compromises, easy weeks, blanks.
    after : tuple of AfterWork
        Second lifts and event practice after the main lifts, in order of week and slot.
    """

    start: date
    weeks: int
    work: tuple[SlotWork, ...]
    notes: tuple[str, ...] = ()
    after: tuple[AfterWork, ...] = ()

    def on(self, slot: Slot, monday: date) -> tuple[SlotWork, ...]:
        """What a slot gets in the week of ``monday``; several on the implement day."""
        return tuple(item for item in self.work if item.slot == slot and item.monday == monday)

    def after_on(self, slot: Slot, monday: date) -> tuple[AfterWork, ...]:
        """What follows the main lift of a slot in the week of ``monday``."""
        return tuple(item for item in self.after if item.slot == slot and item.monday == monday)

    def changed_from(self, other: SeasonPlan) -> tuple[Cell, ...]:
        """Slots that both plans work in but with another lift, resistance or scheme."""
        mine, theirs = self._contents(), other._contents()
        both = mine.keys() & theirs.keys()
        return tuple(sorted((cell for cell in both if mine[cell] != theirs[cell]), key=_by_day))

    def gained_or_lost(self, other: SeasonPlan) -> tuple[Cell, ...]:
        """Slots that only one of the two plans works in (a contest week moved, for example)."""
        return tuple(sorted(self._contents().keys() ^ other._contents().keys(), key=_by_day))

    def _contents(self) -> Mapping[Cell, _Content]:
        found: dict[Cell, set[tuple[LiftKey, Resistance, int, MaxEffortScheme | None]]]
        found = defaultdict(set)
        for item in self.work:
            content = (item.lift, item.resistance, item.scheme_step, item.max_effort)
            found[item.slot, item.monday].add(content)
        return {cell: frozenset(content) for cell, content in found.items()}


def _by_day(cell: Cell) -> tuple[date, str]:
    return cell[1], cell[0].value


def in_plan_order(work: SlotWork) -> tuple[date, int, str]:
    """Sort key of a plan's work: week, slot, lift."""
    return work.monday, list(Slot).index(work.slot), work.lift
