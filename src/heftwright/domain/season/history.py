"""What has been done is fixed: done work as columns, and the weeks still free."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

import numpy as np

from heftwright.domain.catalogue import Lift, Region, Slot
from heftwright.domain.season.after_work import AfterWork
from heftwright.domain.season.problem import Column, Floats, SeasonProblem
from heftwright.domain.season.rules import MAX_EFFORT_ORDER
from heftwright.domain.season.weeks import WeekKind, training_runs, week_of
from heftwright.domain.season.work import SlotWork


def last_done_week(done: Iterable[SlotWork], start: date) -> int:
    """Index of the last week with done work; −1 without any."""
    return max((week_of(item.monday, start) for item in done), default=-1)


def is_ahead(slot: Slot, week: int, done: Sequence[SlotWork], start: date) -> bool:
    """Whether a slot of a week is still to be trained.

    Weeks before the last done one are past, trained or missed; in that week, slots without work
    done are ahead.
    """
    last = last_done_week(done, start)
    if week != last:
        return week > last
    return not any(i.slot == slot and week_of(i.monday, start) == week for i in done)


def done_columns(
    slot: Slot, done: Sequence[SlotWork], start: date, kinds: Sequence[WeekKind]
) -> list[Column]:
    """Done work as fixed columns; a wave in progress goes on to its end."""
    # light sessions say that a week is past, no more
    main = [item for item in done if item.slot == slot and not item.is_easy]
    mine = sorted(main, key=lambda i: (i.monday, i.lift))
    if not slot.is_dynamic:
        return [_single(item, start) for item in mine]
    columns: list[Column] = []
    for item in mine:
        if columns and _goes_on(columns[-1], item, start):
            columns[-1] = _longer(columns[-1], 1)
        else:
            columns.append(_single(item, start))
    if columns:
        columns[-1] = _to_its_end(columns[-1], done, start, kinds)
    return columns


def _single(item: SlotWork, start: date) -> Column:
    step = item.scheme_step
    if item.max_effort is not None:
        step = MAX_EFFORT_ORDER.index(item.max_effort)
    return Column(
        item.slot, week_of(item.monday, start), 1, item.lift, item.resistance, step,
        is_done=True, wave_week=item.wave_week, wave_weeks=item.wave_weeks,
    )  # fmt: skip


def _longer(column: Column, weeks: int) -> Column:
    return Column(
        column.slot, column.week, column.weeks + weeks, column.lift, column.resistance,
        column.step, is_done=True, wave_week=column.wave_week, wave_weeks=column.wave_weeks,
    )  # fmt: skip


def _goes_on(column: Column, item: SlotWork, start: date) -> bool:
    same = (item.lift, item.resistance, item.scheme_step) == (
        column.lift,
        column.resistance,
        column.step,
    )
    follows = week_of(item.monday, start) == column.week + column.weeks
    return same and follows and item.wave_week == column.wave_week + column.weeks


def _to_its_end(
    column: Column, done: Sequence[SlotWork], start: date, kinds: Sequence[WeekKind]
) -> Column:
    left = column.wave_weeks - column.wave_week - column.weeks + 1
    week = column.week + column.weeks
    while left > 0 and week < len(kinds) and kinds[week].is_training:
        if not is_ahead(column.slot, week, done, start):
            break
        column = _longer(column, 1)
        week, left = week + 1, left - 1
    return column


def free_weeks(
    slot: Slot, done: Sequence[SlotWork], start: date, kinds: Sequence[WeekKind],
    past: Sequence[Column],
) -> tuple[range, ...]:  # fmt: skip
    """Runs of training weeks that are ahead and not taken by a wave in progress."""
    taken = {week for column in past for week in column.span}
    shown = [
        kind if is_ahead(slot, week, done, start) and week not in taken else WeekKind.CONTEST
        for week, kind in enumerate(kinds)
    ]
    return training_runs(shown)


def past_blocks(problem: SeasonProblem) -> tuple[AfterWork, ...]:
    """Blocks after main lifts of the previous plan whose day is past: they stay, and they load."""
    before = problem.previous.after if problem.previous is not None else ()
    return tuple(
        item
        for item in before
        if problem.week_of(item.monday) >= 0
        and not is_ahead(item.slot, problem.week_of(item.monday), problem.done, problem.start)
    )


def block_load(problem: SeasonProblem, block: AfterWork) -> Floats:
    """Exposure of a block after a main lift [whole tenths by region], halves up."""
    rules, lift = problem.rules, problem.catalogue[block.lift]
    ratio = rules.after_exposure * (rules.taper_volume if block.is_taper else 1.0)
    return np.array([_tenths(lift, region, ratio) for region in Region])


def _tenths(lift: Lift, region: Region, ratio: float) -> float:
    return float(np.floor(10 * lift.exposure.get(region, 0.0) * ratio + 0.5 + 1e-9))
