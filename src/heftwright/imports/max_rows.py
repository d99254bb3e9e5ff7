"""Tests, contest results and rep sets from the Maxes sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import Mass
from heftwright.domain.squad import AthleteId
from heftwright.domain.strength.evidence import Evidence, EvidenceKind
from heftwright.imports.findings import CellError
from heftwright.imports.guards import SquadMedians, checked_max
from heftwright.imports.gym import Gym
from heftwright.imports.lift_guards import OtherLifts
from heftwright.imports.rows import ParsedRow

_Fact = tuple[AthleteId, LiftKey, EvidenceKind, Mass, object, int]


def read_maxes(gym: Gym, rows: Iterable[ParsedRow]) -> tuple[Evidence, ...]:
    """Evidence of the good rows, in file order."""
    rows = list(rows)
    others = OtherLifts(gym)
    others.take(rows)
    reader = _MaxReader(gym, SquadMedians(_loads(rows)), others)
    found = [gym.attempt(row, reader.evidence) for row in rows]
    return tuple(evidence for evidence in found if evidence is not None)


def _loads(rows: list[ParsedRow]) -> dict[str, list[Mass]]:
    loads: dict[str, list[Mass]] = {}
    for row in rows:
        if row.is_good:
            loads.setdefault(row.values["lift"].casefold(), []).append(row.values["load"].mass)
    return loads


class _MaxReader:
    def __init__(self, gym: Gym, medians: SquadMedians, others: OtherLifts) -> None:
        self._gym = gym
        self._medians = medians
        self._others = others
        self._done: dict[_Fact, int] = {}
        self._in_files: dict[tuple[AthleteId, LiftKey], Mass] = {}
        self._last_days = _last_days(gym.known.evidence)

    def evidence(self, row: ParsedRow) -> Evidence:
        gym, values = self._gym, row.values
        athlete = gym.athlete(values["athlete"], "athlete")
        lift = gym.lift(row, values["lift"], "lift")
        reps = values.get("reps", 1)
        kind = _kind(row, reps)
        known = gym.known.maxes.get((athlete.id, lift)) or self._in_files.get((athlete.id, lift))
        if known is None:
            self._medians.check(gym, row, values["lift"].casefold(), values["load"])
            self._others.check(row, athlete, lift, values["load"])
        values["load"] = checked_max(gym, row, known, is_single=reps == 1)
        evidence = Evidence(
            athlete=athlete.id,
            lift=lift,
            kind=kind,
            load=values["load"].mass,
            on=values["on"],
            reps=reps,
            reps_in_reserve=values.get("reps_in_reserve", 0) / 1000,
            note=values.get("note", ""),
        )
        if row.is_undated:
            day = self._last_days.get(_without_day(evidence), evidence.on)
            evidence = replace(evidence, on=day)
        self._check_new(row, evidence)
        if evidence.is_single:
            self._in_files.setdefault((athlete.id, lift), evidence.load)
        gym.keep_written(row, f"{athlete.id}/{lift}/{evidence.on.isoformat()}")
        return evidence

    def _check_new(self, row: ParsedRow, found: Evidence) -> None:
        fact = (found.athlete, found.lift, found.kind, found.load, found.on, found.reps)
        if fact in self._done:
            raise CellError(
                f"The same lift stands in row {self._done[fact]} already: keep one row."
            )
        self._done[fact] = row.place.row


def _last_days(known: Iterable[Evidence]) -> dict[Evidence, date]:
    """Each thing lifted, its day aside -> the last day that is on record for it.

    A sheet without days that comes in again is dated anew by how old it is said to be; what the
    gym has of it keeps the day it got the first time.
    """
    return {_without_day(one): one.on for one in sorted(known, key=lambda one: one.on)}


def _without_day(evidence: Evidence) -> Evidence:
    return replace(evidence, on=date.min)


def _kind(row: ParsedRow, reps: int) -> EvidenceKind:
    if "kind" not in row.values:
        return EvidenceKind.TEST if reps == 1 else EvidenceKind.REP_SET
    return EvidenceKind(row.values["kind"])
