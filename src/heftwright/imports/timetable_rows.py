"""The week's classes, with members from the Timetable's own cells and from the Squad's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import Slot
from heftwright.domain.squad import AthleteId, ClassTime, Weekday
from heftwright.imports.columns import plain
from heftwright.imports.findings import CellError, nearest
from heftwright.imports.gym import Gym, merged
from heftwright.imports.rows import ParsedRow


def read_timetable(gym: Gym, rows: Iterable[ParsedRow]) -> dict[str, ClassTime]:
    """Classes of the good rows by key, each merged with the known class of its key."""
    known = {item.key: item for item in gym.known.classes}
    found: dict[str, ClassTime] = {}
    for row in rows:
        item = gym.attempt(row, lambda row: _class(gym, row, known, found))
        if item is not None:
            found[item.key] = item
    return found


def _class(
    gym: Gym, row: ParsedRow, known: Mapping[str, ClassTime], done: Mapping[str, ClassTime]
) -> ClassTime:
    values = row.values
    key = values["key"]
    if key in done:
        raise CellError(f"The class “{key}” stands twice: keep one row.", "key")
    given: dict[str, Any] = {
        "key": key,
        "weekday": Weekday(int(values["weekday"])),
        "starts_at": values["starts_at"],
        "minutes": values["minutes"],
        "slot": Slot(values["slot"]),
    }
    if "coach" in values:
        given["coach"] = values["coach"]
    if "members" in values:
        given["members"] = _members(gym, values["members"])
    item: ClassTime = merged(known.get(key), ClassTime, given)
    return item


def _members(gym: Gym, names: tuple[str, ...]) -> tuple[AthleteId, ...]:
    ids = [gym.athlete(name, "members").id for name in names]
    if len(set(ids)) != len(ids):
        raise CellError("An athlete stands twice among the members: keep one.", "members")
    return tuple(ids)


def with_members(
    gym: Gym,
    found: dict[str, ClassTime],
    classes_of: Mapping[AthleteId, ParsedRow],
) -> tuple[ClassTime, ...]:
    """The found classes, and known ones whose members the Squad's Classes cells change.

    A filled Classes cell says where the athlete comes: they join those classes, and leave known
    classes that neither it nor a Members cell names.
    """
    known = {item.key: item for item in gym.known.classes if item.key not in found}
    classes = known | found
    for athlete, row in classes_of.items():
        keys = _known_keys(gym, row, classes)
        for key, item in classes.items():
            classes[key] = _joined(item, athlete, is_named=key in keys, may_leave=key in known)
    changed = (key for key in known if classes[key] != known[key])
    return tuple(classes[key] for key in (*found, *changed))


def _known_keys(gym: Gym, row: ParsedRow, classes: Mapping[str, ClassTime]) -> set[str]:
    keys = {plain(key): key for key in classes}
    found = set()
    for name in row.values["classes"]:
        if plain(name) in keys:
            found.add(keys[plain(name)])
        else:
            near = nearest(name, tuple(classes), 1)
            hint = f"did you mean “{near[0]}”?" if near else "add it to the Timetable sheet."
            sentence = f"There is no class “{name}”: {hint} The rest of the row is read."
            gym.findings.name(row.at("classes"), row.text("classes"), sentence, is_blocking=False)
    return found


def _joined(item: ClassTime, athlete: AthleteId, *, is_named: bool, may_leave: bool) -> ClassTime:
    if is_named and athlete not in item.members:
        return replace(item, members=(*item.members, athlete))
    if may_leave and not is_named and athlete in item.members:
        return replace(item, members=tuple(one for one in item.members if one != athlete))
    return item
