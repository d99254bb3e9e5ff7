"""How wide words are in the house's face, so that they fit where they stand."""

from __future__ import annotations

import re

# Advance widths of U+0020 … U+007E [1/1000 em], semi-bold, read from the vendored font file.
# fmt: off
_ADVANCES = (
    199, 236, 346, 574, 597, 894, 634, 188, 262, 262, 399, 572, 242, 461, 240, 365, 559, 448, 517,
    529, 532, 509, 549, 510, 554, 558, 237, 245, 572, 572, 572, 458, 937, 548, 555, 607, 613, 513,
    489, 624, 631, 248, 255, 575, 460, 740, 633, 615, 527, 615, 579, 539, 516, 617, 567, 820, 538,
    525, 523, 262, 365, 262, 489, 503, 222, 476, 513, 496, 517, 499, 357, 493, 530, 229, 228, 481,
    228, 799, 530, 513, 513, 517, 348, 445, 376, 518, 481, 695, 470, 480, 447, 268, 246, 268, 572,
)
# fmt: on
_TABULAR_FIGURE = 572
_OTHER = 600


def width_of(text: str, size: float) -> float:
    """Width of ``text`` set in ``size``, in the units of ``size``; figures are tabular."""
    return sum(_advance(letter) for letter in text) * size / 1000


def _advance(letter: str) -> int:
    if letter.isdigit():
        return _TABULAR_FIGURE
    index = ord(letter) - 32
    return _ADVANCES[index] if 0 <= index < len(_ADVANCES) else _OTHER


def shortened(text: str, size: float, room: float) -> str:
    """``text``, or as much of it as fits in ``room`` with an ellipsis."""
    if width_of(text, size) <= room:
        return text
    kept = text
    while kept and width_of(kept + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip(" ,·-") + "…"


VOWELS = "aeiouy"
LEAST_PART = 4
"""Letters that a broken word keeps together at either end."""


def wrapped(text: str, size: float, room: float, lines: int) -> tuple[str, ...]:
    """``text`` in at most ``lines`` lines of ``room``, the last one shortened if need be.

    A line may end at a space or after a hyphen; a word too long for a line is broken.
    """
    rows: list[str] = []
    rest = re.findall(r"[^\s-]+-?\s*|-\s*", text)
    while rest and len(rows) < lines - 1:
        row = rest.pop(0)
        head = _head_of(row.rstrip(), size, room)
        if head:
            rows.append(f"{head}-")
            rest.insert(0, row[len(head) :])
            continue
        while rest and width_of((row + rest[0]).rstrip(), size) <= room:
            row += rest.pop(0)
        rows.append(shortened(row.rstrip(), size, room))
    if rest:
        rows.append(shortened("".join(rest).rstrip(), size, room))
    return tuple(rows)


def _head_of(word: str, size: float, room: float) -> str:
    """As much of a word too long for a line as fits with a hyphen; empty if it fits or is short."""
    if width_of(word, size) <= room:
        return ""
    cuts = [
        k
        for k in range(len(word) - LEAST_PART, LEAST_PART - 1, -1)
        if width_of(f"{word[:k]}-", size) <= room
    ]
    # A syllable mostly begins with a consonant before a vowel.
    well = [k for k in cuts if word[k] not in VOWELS and word[k + 1] in VOWELS]
    return word[: (well or cuts or [0])[0]]


def spread(middles: list[float], widths: list[float], *, start: float) -> list[float]:
    """Middles moved as little as possible (least squares) so that the widths do not overlap.

    Parameters
    ----------
    middles, widths : list of float
        Wanted middles from left to right, and the room each needs.
    start : float
        Left edge that none may cross.

    Notes
    -----
    Taking away the room used so far turns "no overlap" into "never falling", which pooling
    neighbours that violate it solves exactly (isotonic regression).
    """
    before = 0.0
    offsets = []
    for width in widths:
        offsets.append(before + width / 2)
        before += width
    pools: list[tuple[float, int]] = []
    for middle, offset in zip(middles, offsets, strict=True):
        mean, count = middle - offset, 1
        while pools and pools[-1][0] > mean:
            earlier, members = pools.pop()
            mean, count = (earlier * members + mean * count) / (members + count), members + count
        pools.append((mean, count))
    levels = [max(mean, start) for mean, count in pools for _ in range(count)]
    return [level + offset for level, offset in zip(levels, offsets, strict=True)]
