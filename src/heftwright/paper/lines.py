"""What stands on paper for one athlete's line, as plain data for a template."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import groupby
from typing import Any

from heftwright.domain.mass import Mass
from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.domain.squad import AthleteId
from heftwright.paper.press import qr_svg
from heftwright.pictures.drawing import size_of
from heftwright.pictures.palette import PAPER
from heftwright.pictures.season_words import day_words
from heftwright.pictures.sleeve import View, sleeve_svg
from heftwright.pictures.sleeve_words import plates_words, sleeve_words

_NUMBER_AND_UNIT = re.compile(r"([0-9]) (kg|lb|%|cm|min)")
CardUrls = Mapping[AthleteId, str]

OPEN_TOP_BLANK = "Top set: ________  set by: ______________"
"""Filled in by hand where only the coach may set the top set."""


def head_data(sheet: ClassSheet) -> dict[str, Any]:
    """What every page of a class says on top and at its foot."""
    made = sheet.planned_at
    return {
        "gym": sheet.gym,
        "class_time": f"{_WEEKDAYS[sheet.on.weekday()]} {sheet.starts_at:%H:%M}",
        "coach": sheet.coach,
        "when": f"{_WEEKDAYS[sheet.on.weekday()]} {day_words(sheet.on)} {sheet.on.year}, "
        f"{sheet.starts_at:%H:%M}, {sheet.minutes} min",
        "slot": sheet.slot_name,
        "lift": sheet.lift_name,
        "wave": sheet.wave_words,
        "why": list(sheet.why),
        "plan": f"Plan {sheet.plan_version}, made {day_words(made)} {made:%H:%M}",
        "caution": sheet.caution,
    }


def line_data(
    sheet: ClassSheet,
    platform: PlatformSheet,
    line: LifterLine,
    *,
    view: View,
    card_urls: CardUrls | None,
) -> dict[str, Any]:
    """One athlete's work, in the words and pictures the page needs."""
    is_other_lift = line.lift_name != sheet.lift_name
    is_other_rig = line.rig != platform.rig
    return {
        "number": str(line.number),
        "name": line.name,
        "is_minor": line.is_minor,
        "lift": line.lift_name,
        "instead": line.lift_name if is_other_lift else "",
        "load": line.load.shown(line.unit),
        "scheme": line.work_words,
        "sets": line.sets,
        "boxes": [] if line.is_work_up else [str(line.scheme.reps)] * line.sets,
        "steps": _steps(line),
        "rest": f"rest {line.scheme.rest_s} s" if line.scheme.rest_s else "",
        "rig": (line.rig or "straight weight") if is_other_rig else "",
        "rig_words": line.rig or "straight weight",
        "top": _top_words(line),
        "share": _tied(f"{line.bar_share_pct:.0f} % of {line.max_words}"),
        "brief_share": f"{line.bar_share_pct:.0f} % of {_kind_of_max(line)} max",
        "is_estimated": line.is_estimated,
        "reasons": list(line.reasons),
        "cautions": [*line.cautions, *([OPEN_TOP_BLANK] if line.is_top_open else [])],
        "notes": list(line.notes),
        "qr": qr_svg((card_urls or {}).get(line.athlete, "")),
        "when": "from set 2:" if platform.is_first_on_empty_bar(line) else "",
        **_sleeve_data(line, view),
    }


def _steps(line: LifterLine) -> list[dict[str, str]]:
    """The boxes of a work-up: each step's load and reps; empty where every set is the same."""
    if not line.is_work_up:
        return []
    return [
        {
            "load": line.load_of_set(number).shown(line.unit).partition(" ")[0],
            "reps": f"× {line.reps_of_set(number)}",
            "side": _side_of(line, number),
        }
        for number in range(1, line.sets + 1)
    ]


def _side_of(line: LifterLine, number: int) -> str:
    """The plates a side of one step, runs counted; figures only, said once what they are."""
    if not line.steps:
        return ""
    runs = groupby(plate.label for plate in line.steps[number - 1].sleeve.plates)
    counted = [(label, sum(1 for _ in run)) for label, run in runs]
    words = [label if count == 1 else f"{count}×{label}" for label, count in counted]
    return " ".join(words) or "bar"


def _sleeve_data(line: LifterLine, view: View) -> dict[str, str | float]:
    """The picture and its words; in the half view what comes off stands only in words."""
    if line.sleeve is None:
        return {**dict.fromkeys(("sleeve", "sleeve_alt", "off", "on", "side"), "")}
    sleeve = line.sleeve
    drawn = sleeve if view == "full" else replace(sleeve, off=())
    picture = sleeve_svg(drawn, palette=PAPER, id_prefix="sleeve", view=view)
    width, height = size_of(picture)
    return {
        "sleeve": picture,
        "sleeve_aspect": width / height,
        "sleeve_alt": sleeve_words(sleeve),
        "off": _tied(plates_words(sleeve.off)),
        "on": _tied(plates_words(sleeve.on)),
        "side": f"{plates_words(sleeve.plates)} a side" if sleeve.plates else "bar only",
    }


def _kind_of_max(line: LifterLine) -> str:
    return "estimated" if line.is_estimated else "tested"


def _top_words(line: LifterLine) -> str:
    """What the hands hold at the top, if bands or chains add anything there."""
    if abs(line.top_kg - line.load.in_kg) < 0.5:
        return ""
    top, sd = (_kg_words(value, line) for value in (line.top_kg, line.top_sd_kg))
    return _tied(f"top {top} ± {sd}")


def _tied(text: str) -> str:
    """Numbers keep their units on the same line."""
    return _NUMBER_AND_UNIT.sub("\\1\N{NO-BREAK SPACE}\\2", text)


def _kg_words(value_kg: float, line: LifterLine) -> str:
    return Mass.nearest_kg(value_kg).shown(line.unit, 0)


_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
