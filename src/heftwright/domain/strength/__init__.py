"""Evidence, beliefs about maxes, rep curves, bar speed, proposals."""

from heftwright.domain.strength.belief import Belief, Beliefs, BeliefSettings, Source, believe
from heftwright.domain.strength.evidence import Evidence, EvidenceError, EvidenceKind

__all__ = [
    "Belief",
    "BeliefSettings",
    "Beliefs",
    "Evidence",
    "EvidenceError",
    "EvidenceKind",
    "Source",
    "believe",
]
