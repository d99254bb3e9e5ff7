"""The log from the gym floor: append-only facts."""

from heftwright.domain.log.entry import LoggedSet, PainReport, SetOutcome

__all__ = ["LoggedSet", "PainReport", "SetOutcome"]
