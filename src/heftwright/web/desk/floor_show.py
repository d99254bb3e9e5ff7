"""Gathers what the floor's page shows of the running class."""

from __future__ import annotations

from heftwright.domain.sheet.live import Phase, Turn
from heftwright.domain.sheet.planned import PlannedClass
from heftwright.usecases import floor_drafts
from heftwright.usecases.live_class import DatedClass, get_class_clock, get_turns
from heftwright.web.desk.floor_pages import FloorPerson, LivePart, LivePlatform


def live_of(
    of: DatedClass, planned: PlannedClass | None, people: tuple[FloorPerson, ...]
) -> LivePart:
    """The running class; empty without a plan."""
    if planned is None:
        return LivePart()
    sheet, running = planned.sheet, get_class_clock(of)
    turns = get_turns(of, sheet)
    return LivePart(
        started_at=running.started_at if running else None,
        platforms=tuple(
            LivePlatform(
                item,
                turns[item.key],
                _done(turns[item.key]),
                tuple(one for one in people if one.platform_key == item.key),
                is_marked=running is not None and running.mark_of(item.key) is not None,
            )
            for item in sheet.platforms
        ),
        draft=floor_drafts.get_draft(of),
        bands=floor_drafts.bands_in_use(of, planned),
        lifts=floor_drafts.other_lifts(of, planned),
        can_put_back=sheet.plan_version > 1,
    )


def _done(turn: Turn) -> int:
    return turn.sets if turn.phase is Phase.OVER else turn.set_number - 1
