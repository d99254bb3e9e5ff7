"""Whether a kept season still is one of today's: what of it is no choice any more, what breaks."""

from __future__ import annotations

from datetime import date

import numpy as np

from heftwright.domain.season import SlotWork
from heftwright.domain.season.legal import LegalRows
from heftwright.domain.season.legal_row import Row
from heftwright.domain.season.light import without_light_sessions
from heftwright.domain.season.problem import Floats, SeasonProblem
from heftwright.domain.season.weeks import WeekKind
from heftwright.usecases.season_planning import PlannedSeason
from heftwright.usecases.season_refusals import SeasonOutdatedError

LINES_SHOWN = 3
LONGEST_WAVE = 3


def standing_choice(problem: SeasonProblem, before: PlannedSeason) -> Floats:
    """The kept season's main work as choices of today's problem.

    Raises
    ------
    SeasonOutdatedError
        If some of it is no choice any more: the squad, the stock, the calendar or a rule changed.
    """
    chosen, gone = _chosen_and_gone(problem, before)
    if gone:
        raise SeasonOutdatedError(_shortened([_gone_words(problem, work) for work in gone]))
    return chosen


def find_standing_choice(problem: SeasonProblem, before: PlannedSeason) -> Floats | None:
    """The same; None if some of it is no choice any more."""
    chosen, gone = _chosen_and_gone(problem, before)
    return None if gone else chosen


def rules_broken_now(problem: SeasonProblem, rows: LegalRows, chosen: Floats) -> tuple[str, ...]:
    """Rules of today's that the kept season breaks as it stands, in words with the week."""
    return _shortened([_row_words(problem, row) for row in rows.broken_but_cover(chosen)])


def rule_words(row: Row | None) -> str:
    """A rule with its body region; empty for none."""
    if row is None:
        return ""
    return row.rule.sentence + (f" ({row.region.value})" if row.region else "")


def _chosen_and_gone(
    problem: SeasonProblem, before: PlannedSeason
) -> tuple[Floats, tuple[SlotWork, ...]]:
    main = without_light_sessions(before.plan)
    chosen = problem.chosen_of(main)
    kept = {work for j in np.flatnonzero(chosen) for work in problem.work_of(problem.columns[j])}
    ahead = (work for work in main.work if work.monday >= problem.start)
    return chosen, tuple(work for work in ahead if work not in kept)


def _shortened(lines: list[str]) -> tuple[str, ...]:
    """The first few different lines, and how many more there are."""
    different = tuple(dict.fromkeys(lines))
    more = len(different) - LINES_SHOWN
    if more <= 0:
        return different
    return (*different[:LINES_SHOWN], f"And {more} more.")


def _gone_words(problem: SeasonProblem, work: SlotWork) -> str:
    name = problem.catalogue[work.lift].name if work.lift in problem.catalogue else work.lift
    where = f"{name}, {work.slot.shown.lower()}, {_week_words(work.monday)}"
    return f"{where}: {_why_gone(problem, work)}."


def _week_words(monday: date) -> str:
    return f"week of {monday:%-d %b}"


def _why_gone(problem: SeasonProblem, work: SlotWork) -> str:
    week = problem.week_of(work.monday)
    if week >= problem.weeks:
        return "the season ends before it now"
    if problem.slot_day(work.slot) is None:
        return "no class of the week trains that any more"
    if work.lift not in problem.catalogue:
        return "the gym has no such lift any more"
    kind = problem.kinds[week]
    if not kind.is_training:
        return f"that is {'an' if kind == WeekKind.EASY else 'a'} {kind} week now"
    if work.is_taper != (kind == WeekKind.TAPER):
        return f"that week {'eases for a contest now' if not work.is_taper else 'eases no more'}"
    starts = range(week, week - LONGEST_WAVE, -1) if work.slot.is_dynamic else (week,)
    reasons = (problem.removal_of(work.slot, at, work.lift, work.resistance) for at in starts)
    reason = next((item for item in reasons if item is not None), None)
    if reason is not None:
        return reason.sentence
    if work.slot.is_dynamic:
        return "no wave of that length and scheme is allowed there"
    return "its scheme is not allowed there"


def _row_words(problem: SeasonProblem, row: Row) -> str:
    slot = f"{row.slot.shown}, {_week_words(problem.monday(row.week))}" if row.slot else ""
    where = slot or _week_words(problem.monday(row.week)).capitalize()
    return f"{where}: {rule_words(row)}."
