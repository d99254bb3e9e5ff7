"""Reads the named season instances into the gym's own values, for benchmarks and tests."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

from heftwright.domain.catalogue import (
    Catalogue,
    EventFamily,
    Implement,
    KitKey,
    LiftKey,
    Slot,
    WeakPoint,
    load_catalogue,
)
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.height import Length
from heftwright.domain.season import (
    Firmness,
    Forbid,
    Pin,
    SeasonPlan,
    SeasonProblem,
    SeasonRules,
    SlotWork,
    build_problem,
)
from heftwright.domain.squad import (
    Athlete,
    AthleteId,
    ClassTime,
    Restriction,
    Sex,
    Timetable,
    Weekday,
)
from heftwright.domain.stock import Stock

FOLDER = Path(__file__).parents[1] / "tests" / "instances"
START = date(2026, 1, 5)
NAMES = ("S1", "S2", "M1", "L1")
_IMPLEMENTS = {
    "straight": "straight_bar", "safety": "safety_bar", "cambered": "cambered_bar",
    "hex": "hex_bar", "multigrip": "multi_grip_bar", "dumbbell": "thick_dumbbell",
    "yokebar": "yoke_bar", "stone": "stones",
}  # fmt: skip
_GRIPS = {"crook": "elbow_crook", "rack": "front_rack", "strap": "straps", "none": "bar_handles"}
# The instances keep a hold's handles apart from the carry's; our catalogue has one implement for
# both. Comparable figures need them apart: an implement that no event of the instances asks for.
_HOLD_IMPLEMENT = Implement.LEVER


def read_codes() -> dict[str, dict[str, str]]:
    """The instances' labels and our keys."""
    found: dict[str, dict[str, str]] = json.loads((FOLDER / "season-codes.json").read_text())
    return found


def read_instance(
    name: str,
    rules: SeasonRules | None = None,
    *,
    contest_weeks: dict[str, int] | None = None,
    done: tuple[SlotWork, ...] = (),
    previous: SeasonPlan | None = None,
) -> SeasonProblem:
    """A named instance as a season problem.

    Parameters
    ----------
    name : str
        S1, S2, M1 or L1.
    rules : SeasonRules or None
        None: the reference weights.
    contest_weeks : dict or None
        Contests moved to another week (1 is the first), for re-planning.
    done, previous
        As ``build_problem`` takes them.
    """
    data = json.loads((FOLDER / f"season-{name}.json").read_text())
    codes = read_codes()
    for contest in data["contests"]:
        contest["week"] = (contest_weeks or {}).get(contest["id"], contest["week"])
    return build_problem(
        athletes=[_athlete(item, codes) for item in data["athletes"]],
        stock=Stock(kit={KitKey(codes["kit"].get(k, k)): n for k, n in data["stock"].items()}),
        contests=[_contest(item, data, codes) for item in data["contests"]],
        timetable=_timetable(data, codes),
        catalogue=instance_catalogue(),
        start=START,
        rules=rules or SeasonRules.reference(),
        pins=_pins(data, codes),
        forbids=_forbids(data, codes),
        done=done,
        previous=previous,
    )


def instance_catalogue() -> Catalogue:
    """The instances' lifts as our catalogue has them, the hold's handles apart from the carry's."""
    lifts, named = load_catalogue(), set(read_codes()["lifts"].values())
    kept = tuple(
        replace(lift, implement=_HOLD_IMPLEMENT) if lift.key == "static_hold" else lift
        for lift in lifts.values()
        if lift.key in named  # the catalogue has grown since
    )
    return Catalogue(kept, lifts.athletes_per_unit)


def _monday(week: int) -> date:
    return START + timedelta(days=7 * (week - 1))


def _athlete(item: dict[str, Any], codes: dict[str, dict[str, str]]) -> Athlete:
    return Athlete(
        id=AthleteId(item["id"]),
        name=item["id"],
        number=int(item["id"][1:]),
        sex=Sex.WOMAN,
        weak_points={WeakPoint(codes["weak"][k]): v for k, v in item["weak"].items()},
        priority=item["priority"],
        restrictions=tuple(
            Restriction(
                rule["tag"],
                _monday(rule["from_week"]),
                _monday(rule["to_week"]) + timedelta(days=6),
                rule["name"],
            )
            for rule in item["restrictions"]
        ),
    )


def _contest(
    item: dict[str, Any], data: dict[str, Any], codes: dict[str, dict[str, str]]
) -> Contest:
    events = tuple(_event(event, codes) for event in item["events"])
    entries = tuple(
        Entry(
            AthleteId(a["id"]),
            need={e.name: n for e, n in zip(events, a["need"][item["id"]], strict=True)},
        )
        for a in data["athletes"]
        if item["id"] in a["enters"]
    )
    return Contest(
        ContestId(item["id"]),
        item["id"],
        _monday(item["week"]) + timedelta(days=item["day"]),
        item["importance"],
        item["squad_taper"],
        events,
        entries,
    )


def _event(item: dict[str, Any], codes: dict[str, dict[str, str]]) -> ContestEvent:
    wanted = item["attrs"]
    label = wanted.get("implement", "")
    implement = None
    if label:
        plain = _IMPLEMENTS.get(label, label)
        implement = _HOLD_IMPLEMENT if label == "handles" else Implement(plain)
    return ContestEvent(
        name=item["name"],
        family=EventFamily(codes["families"][item["family"]]),
        style=EventStyle(item["style"]),
        implement=implement,
        start_height=Length.cm(wanted["height"]) if "height" in wanted else None,
        grip=_GRIPS.get(wanted.get("grip", ""), wanted.get("grip", "")),
    )


def _timetable(data: dict[str, Any], codes: dict[str, dict[str, str]]) -> Timetable:
    names = [AthleteId(item["id"]) for item in data["athletes"]]
    count = data["classes"]
    groups = [tuple(names[i::count]) for i in range(count)]
    classes = []
    for label, day in data["week_days"].items():
        slot = Slot(codes["slots"][label])
        minutes = data["event_session_minutes" if slot == Slot.IMPLEMENT else "session_minutes"]
        for i, group in enumerate(groups):
            key = f"{label}-{i}"
            classes.append(ClassTime(key, Weekday(day), time(8 + i), minutes, slot, members=group))
    return Timetable(tuple(classes))


def _pins(data: dict[str, Any], codes: dict[str, dict[str, str]]) -> list[Pin]:
    pins = []
    for kind, firmness in (("pins", Firmness.CONTEST), ("retests", Firmness.RETEST)):
        for item in data[kind]:
            slot, lift = Slot(codes["slots"][item["slot"]]), LiftKey(codes["lifts"][item["lift"]])
            pins += [Pin(slot, _monday(w), lift, None, firmness) for w in item["weeks"]]
    return pins


def _forbids(data: dict[str, Any], codes: dict[str, dict[str, str]]) -> list[Forbid]:
    return [
        Forbid(
            LiftKey(codes["lifts"][item["lift"]]),
            _monday(min(item["weeks"])),
            _monday(max(item["weeks"])),
            Slot(codes["slots"][item["slot"]]),
        )
        for item in data["forbids"]
    ]
