"""How often the class sheets of a whole demo season interrupt the coach, as the sheet shows it."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from bench.figure import Figure

PREFIXES = ("sheet_alerts_",)
WEEKS = 16


def figures() -> Iterator[Figure]:
    """Interrupting cautions on every planned class of the demo gym, a hundred lines."""
    with TemporaryDirectory() as folder:
        os.environ["HEFTWRIGHT_DATA"] = folder
        yield _season(Path(folder))


def _season(folder: Path) -> Figure:
    from heftwright.usecases.start import open_house

    open_house()
    from heftwright.demo.build import GYM, make_demo
    from heftwright.usecases import clock, season, timetable
    from heftwright.usecases.actor import Actor
    from heftwright.usecases.class_planning import plan_floor_of_class
    from heftwright.usecases.classes import ClassError, order_of
    from heftwright.usecases.gathering import Gathered

    make_demo(folder / "sheets", lambda _: None)
    season.plan_season(gym=GYM, by=Actor.house("bench"), limit_s=6.0)
    first, classes = clock.today(GYM), timetable.get_timetable(gym=GYM)
    lines, said = 0, Counter[str]()
    for day in range(7 * WEEKS):
        on = first + timedelta(days=day)
        for item in classes.on(on):
            if not (item.slot.is_dynamic or item.slot.is_max_effort):
                continue
            try:
                order = order_of(GYM, item.key, on, None)
            except ClassError:
                continue
            made = plan_floor_of_class(order, Gathered(GYM, on), planned_at=clock.now())
            for platform in made.sheet.platforms:
                lines += len(platform.lifters)
                said.update(words for line in platform.lifters for words in line.cautions)
    words = "; ".join(f"{count} × {text}" for text, count in said.most_common(6)) or "none"
    return Figure(
        "sheet_alerts_per_100_lines", 100 * sum(said.values()) / max(1, lines), "–", "lower",
        bound=0.5,
        note=f"{lines} lines of all classes in {WEEKS} weeks from today, no new test entered: "
        f"{words}",
    )  # fmt: skip
