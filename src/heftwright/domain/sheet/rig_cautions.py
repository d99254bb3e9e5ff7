"""Which cautions a class needs for what hangs on its bars.

A rig reaches the sheet as the words of ``SetUp.name``: bands are on pegs, chains hang by one end
or by both. The names themselves are the gym's own: a band may be called just “Grey”.
"""

from __future__ import annotations

from collections.abc import Iterable

from heftwright.domain.sheet.class_sheet import BAND_CAUTION, CHAIN_CAUTION

_CHAIN_WORDS = ("chain", "hanging by one end", "both ends up")


def is_banded(rig: str) -> bool:
    """Whether stretched bands are part of a rig, by its words."""
    return "band" in rig.lower() or "pegs at" in rig


def is_chained(rig: str) -> bool:
    """Whether chains are part of a rig, by its words."""
    return any(words in rig.lower() for words in _CHAIN_WORDS)


def rig_cautions(rigs: Iterable[str]) -> tuple[str, ...]:
    """One caution for each hazard there is; a rig of which nothing is known counts as bands."""
    used = [rig for rig in rigs if rig]
    has_bands = any(is_banded(rig) or not is_chained(rig) for rig in used)
    hazards = ((has_bands, BAND_CAUTION), (any(map(is_chained, used)), CHAIN_CAUTION))
    return tuple(words for is_there, words in hazards if is_there)
