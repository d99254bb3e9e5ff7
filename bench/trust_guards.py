"""How often the class sheets of a whole demo season interrupt the coach, as the sheet shows it."""

from __future__ import annotations

import math
import os
import random
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from uuid import uuid4

from bench.figure import Figure
from heftwright.domain.sheet.class_sheet import ClassSheet
from heftwright.domain.sheet.shared_cautions import interruptions

PREFIXES = ("sheet_alerts_",)
WEEKS = 16
STEP_KG = 2.5


def figures() -> Iterator[Figure]:
    """Interrupting cautions and stopped proposals of a season that is lifted and logged."""
    with TemporaryDirectory() as folder:
        os.environ["HEFTWRIGHT_DATA"] = folder
        yield _season(Path(folder))


def _season(folder: Path) -> Figure:
    from heftwright.usecases.start import open_house

    open_house()
    from heftwright.demo.build import GYM, make_demo
    from heftwright.usecases import clock, maxes, season
    from heftwright.usecases.actor import Actor

    make_demo(folder / "sheets", lambda _: None)
    by = Actor.house("bench")
    _accept_sound(by)
    season.plan_season(gym=GYM, by=by, limit_s=6.0)
    monday = clock.today(GYM)
    monday -= timedelta(days=monday.weekday())
    first, said, lines = monday + timedelta(weeks=1), Counter[str](), 0
    for day in range(7 * WEEKS):
        on = first + timedelta(days=day)
        with clock.held_at(datetime.combine(on, time(20, 30), UTC)):
            for tonight in _classes_on(on):
                every = [line for platform in tonight.platforms for line in platform.lifters]
                lines += len(every)
                said.update(interruptions(tonight))
                _lift(every, on, by)
            maxes.propose_from_log(gym=GYM, by=by)
            said.update(_accept_sound(by))
    words = "; ".join(f"{count} × {text}" for text, count in said.most_common(6)) or "none"
    return Figure(
        "sheet_alerts_per_100_lines", 100 * sum(said.values()) / max(1, lines), "–", "lower",
        bound=0.5,
        note=f"{lines} lines of all classes in {WEEKS} weeks; every heavy line lifted at the "
        "athlete's hidden true max with a day's noise (the coach sets an open top set), logged, "
        "and what that proposes accepted "
        f"unless it stops, which counts as well: {words}",
    )  # fmt: skip


def _classes_on(on: date) -> Iterator[ClassSheet]:
    """The sheet of each dynamic or max-effort class of a day, planned as its page would."""
    from heftwright.demo.build import GYM
    from heftwright.usecases import clock, timetable
    from heftwright.usecases.class_planning import plan_floor_of_class
    from heftwright.usecases.classes import ClassError, order_of
    from heftwright.usecases.gathering import Gathered

    for item in timetable.get_timetable(gym=GYM).on(on):
        if not (item.slot.is_dynamic or item.slot.is_max_effort):
            continue
        try:
            order = order_of(GYM, item.key, on, None)
        except ClassError:
            continue
        made = plan_floor_of_class(order, Gathered(GYM, on), planned_at=clock.now())
        yield made.sheet


def _lift(lines: list[Any], on: date, by: Any) -> None:
    """Log each heavy line's top set: what was asked for, with what was truly left in reserve."""
    from heftwright.demo.build import GYM
    from heftwright.demo.squad import SQUAD
    from heftwright.demo.truth import true_maxes
    from heftwright.domain.log import LoggedSet, SetOutcome
    from heftwright.domain.mass import EnteredMass, Mass
    from heftwright.domain.strength.formulas import implied_max_ratio
    from heftwright.usecases import clock, log
    from heftwright.usecases.lifts import catalogue_of

    truth = {one.name: true_maxes(one) for one in SQUAD}
    keys = {lift.name: lift.key for lift in catalogue_of(GYM).values()}
    draw, facts = random.Random(f"{on}"), []
    for line in lines:
        true_kg = truth[line.name].get(keys[line.lift_name])
        if not (line.is_max_attempt or line.is_top_open) or true_kg is None:
            continue
        today_kg = true_kg * math.exp(draw.gauss(0.0, 0.02))
        kg, reps = line.load.in_kg, line.scheme.reps
        if line.is_top_open:  # the coach sets the top set, as asked: heavy, with one left
            kg = STEP_KG * (today_kg / implied_max_ratio(reps + 1) // STEP_KG)
        left = max(
            (n for n in range(9) if kg * implied_max_ratio(reps + n) <= today_kg), default=-1
        )
        if left < 0:
            continue  # a miss is no evidence
        facts.append(
            LoggedSet(
                uuid4(), line.athlete, keys[line.lift_name], f"{on}/bench", 1,
                EnteredMass.of(Mass.nearest_kg(kg)), reps,
                SetOutcome.DONE, float(left), 1, clock.now(), is_max_attempt=True,
            )
        )  # fmt: skip
    if facts:
        log.log_sets(gym=GYM, by=by, sets=facts)


def _accept_sound(by: Any) -> list[str]:
    """Accept what raises no hard question; say what does."""
    from heftwright.demo.build import GYM
    from heftwright.usecases import max_decisions, maxes

    waiting = max_decisions.get_waiting(gym=GYM)
    if waiting.sound:
        max_decisions.accept_all_proposals(gym=GYM, by=by, was_seen=waiting.mark)
    for item in waiting.stopped:
        maxes.ignore_proposal(gym=GYM, by=by, proposal=item.key)
    return [f"log: {flag.sentence}" for item in waiting.stopped for flag in item.proposal.flags]
