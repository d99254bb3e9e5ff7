"""One question of a class once: a caution that several lines share interrupts the coach once.

Every line keeps its own words, quietly, for whoever looks at that athlete.
"""

from __future__ import annotations

from dataclasses import dataclass

from heftwright.domain.sheet.class_sheet import ClassSheet

SHARED_BY = 2


@dataclass(frozen=True, slots=True)
class SharedCaution:
    """What several athletes of a class are warned of, and who they are, in floor order."""

    words: str
    names: tuple[str, ...]


def shared_cautions(sheet: ClassSheet) -> tuple[SharedCaution, ...]:
    """Cautions on two or more lines, those of most athletes first."""
    named: dict[str, list[str]] = {}
    for platform in sheet.platforms:
        for line in platform.lifters:
            for words in dict.fromkeys(line.cautions):
                named.setdefault(words, []).append(line.name)
    found = (SharedCaution(words, tuple(names)) for words, names in named.items())
    many = [one for one in found if len(one.names) >= SHARED_BY]
    return tuple(sorted(many, key=lambda one: -len(one.names)))


def interruptions(sheet: ClassSheet) -> tuple[str, ...]:
    """What stops the coach's eye on a class: shared cautions once, all others a line each."""
    shared = tuple(one.words for one in shared_cautions(sheet))
    alone = (
        words
        for platform in sheet.platforms
        for line in platform.lifters
        for words in line.cautions
        if words not in shared
    )
    return (*shared, *alone)
