"""Short words of the pages: what a coach would say across the room."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from heftwright.domain.mass import Mass
from heftwright.domain.sheet import LifterLine, LoadedSleeve, PlateOnBar


@dataclass(frozen=True, slots=True)
class ChangeWords:
    """What to do on each side, in the order of doing it; empty words mean nothing to do."""

    off: str
    on: str

    @property
    def off_list(self) -> str:
        """What comes off with commas, for where a plus could be taken for "put on"."""
        return self.off.replace(" + ", ", ")

    @property
    def on_list(self) -> str:
        """What goes on, with commas."""
        return self.on.replace(" + ", ", ")

    @property
    def is_any(self) -> bool:
        """Whether there is anything to change."""
        return bool(self.off or self.on)


def change_of(sleeve: LoadedSleeve) -> ChangeWords:
    """The change from the lifter before, as plate labels: off ``10``, on ``5 + 2.5``."""
    return ChangeWords(off=stack_words(sleeve.off), on=stack_words(sleeve.on))


def stack_words(plates: Iterable[PlateOnBar]) -> str:
    """Plate labels in order, runs of the same plate counted: ``2 × 20 + 5``."""
    runs: list[tuple[str, int]] = []
    for plate in plates:
        if runs and runs[-1][0] == plate.label:
            runs[-1] = (plate.label, runs[-1][1] + 1)
        else:
            runs.append((plate.label, 1))
    return " + ".join(label if count == 1 else f"{count} × {label}" for label, count in runs)


def share_words(line: LifterLine) -> str:
    """Bar share alone for straight weight; with bands or chains what they add, and the sum."""
    bar = round(Decimal(repr(line.bar_share_pct)))
    if not line.rig:
        return f"{bar} % of max"
    top = Mass.nearest_kg(line.top_kg).shown(line.unit, 0)
    whole = round(Decimal(repr(line.bar_share_pct + line.top_share_pct)))
    added = f"{whole - bar} % from {_added_by(line.rig)}"  # so that the printed sum is true
    return f"{bar} % on the bar + {added} = {whole} % at the top ({top})"


def _added_by(rig: str) -> str:
    named = [kind for kind in ("band", "chain") if kind in rig.lower()]
    return " and ".join(f"{kind}s" for kind in named) or "bands"


def plain(value: Decimal, places: int = 0) -> str:
    """A number for people: 100 not 100.0 (trust.md H4)."""
    text = f"{round(value, places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def age_words(age_s: float) -> str:
    """How old something is: ``just now``, ``40 s ago``, ``5 min ago``, ``3 h ago``."""
    if age_s < 10:
        return "just now"
    for limit, size, unit in ((90, 1, "s"), (5400, 60, "min"), (172_800, 3600, "h")):
        if age_s < limit:
            return f"{int(age_s // size)} {unit} ago"
    return f"{int(age_s // 86_400)} days ago"
