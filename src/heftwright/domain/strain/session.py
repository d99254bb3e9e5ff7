"""One athlete's rating of one whole session."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.squad import AthleteId
from heftwright.domain.strain.load import session_load


@dataclass(frozen=True, slots=True)
class SessionEffort:
    """How hard a session was, asked about half an hour after it (Foster et al. 2001).

    Parameters
    ----------
    athlete : AthleteId
        Who.
    on : date
        The day.
    class_key : str
        The dated class, ``"2026-11-23/mon-1830"``.
    rpe : float
        Of the whole session, 0–10.
    minutes : int
        Its length [min], 0–600.
    """

    athlete: AthleteId
    on: date
    class_key: str
    rpe: float
    minutes: int

    def __post_init__(self) -> None:
        session_load(self.rpe, self.minutes)  # refuses what cannot be

    @property
    def key(self) -> str:
        """One a class and athlete."""
        return f"{self.class_key}/{self.athlete}"

    @property
    def load(self) -> float:
        """Rating × minutes [arbitrary units]."""
        return session_load(self.rpe, self.minutes)
