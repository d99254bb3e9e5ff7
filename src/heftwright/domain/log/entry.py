"""A logged set is an append-only fact with its own id; corrections are new facts."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.mass import EnteredMass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

HEAVIEST_LOGGED_KG = 1000.0


class LogError(Refusal):
    """A set that cannot have happened as logged."""


class SetOutcome(StrEnum):
    """What became of the set."""

    DONE = "done"
    MISSED = "missed"
    CHANGED = "changed"
    SKIPPED = "skipped"


@dataclass(frozen=True, slots=True)
class LoggedSet:
    """One set as lifted.

    Parameters
    ----------
    id : UUID
        Made where it was logged; the same id is the same fact.
    athlete, lift, class_key
        Who, what, in which class (``"2026-11-23/mon-1830"``).
    set_number : int
        1–40.
    load : EnteredMass
        As entered: value and unit that the athlete saw.
    reps_done : int
        0–100.
    outcome : SetOutcome
        Done as prescribed, missed, changed, skipped.
    reps_in_reserve : float or None
        Felt repetitions left, 0–10.
    plan_version : int
        Of the sheet the athlete saw.
    logged_at : datetime
        Aware, by the logging device.
    corrects : UUID or None
        The fact this one corrects.
    is_max_attempt : bool
        The day's top single, double or triple: may be evidence for a max.
    """

    id: UUID
    athlete: AthleteId
    lift: LiftKey
    class_key: str
    set_number: int
    load: EnteredMass
    reps_done: int
    outcome: SetOutcome
    reps_in_reserve: float | None
    plan_version: int
    logged_at: datetime
    corrects: UUID | None = None
    is_max_attempt: bool = False

    def __post_init__(self) -> None:
        if not 1 <= self.set_number <= 40:
            raise LogError(f"Set number {self.set_number} is outside 1–40: check the entry.")
        if not 0 <= self.reps_done <= 100:
            raise LogError(f"{self.reps_done} reps is outside 0–100: check the entry.")
        if self.logged_at.tzinfo is None:
            raise LogError("The time of a set must say its time zone.")
        if self.reps_in_reserve is not None and not 0 <= self.reps_in_reserve <= 10:
            raise LogError(f"{self.reps_in_reserve} reps in reserve is outside 0–10.")

    @property
    def content_hash(self) -> str:
        """SHA-256 of everything but the id: the same id must always carry the same content."""
        content = [
            self.athlete, self.lift, self.class_key, self.set_number, self.load.thousandths,
            self.load.unit, self.reps_done, self.outcome, self.reps_in_reserve,
            self.plan_version, self.logged_at.isoformat(), str(self.corrects),
            self.is_max_attempt,
        ]  # fmt: skip
        return hashlib.sha256(json.dumps(content).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class PainReport:
    """Pain said by an athlete: place and 0–10 (higher is worse). Never shown on the board."""

    athlete: AthleteId
    class_key: str
    place: str
    score_0_10: int
    reported_at: datetime
    note: str = ""
