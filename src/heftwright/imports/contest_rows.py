"""Contests, their events and entries from three sheets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from heftwright.domain.catalogue import EventFamily, Implement
from heftwright.domain.contest import Contest, ContestEvent, ContestId, Entry, EventStyle
from heftwright.domain.names import short_name
from heftwright.imports.columns import plain
from heftwright.imports.findings import CellError, nearest
from heftwright.imports.gym import Gym, exact, merged
from heftwright.imports.rows import ParsedRow

LOWEST_NEED, HIGHEST_NEED = 300, 2000


@dataclass(slots=True)
class _Draft:
    """A contest being put together."""

    row: ParsedRow | None
    fields: dict[str, Any]
    events: dict[str, ContestEvent] = field(default_factory=dict)
    entries: dict[str, Entry] = field(default_factory=dict)
    is_touched: bool = False


def read_contests(gym: Gym, rows: Mapping[str, list[ParsedRow]]) -> tuple[Contest, ...]:
    """Every contest that the files hold, merged with the known one, events and entries by name."""
    reader = _ContestReader(gym)
    for sheet, take in (
        ("contests", reader.take_contest),
        ("events", reader.take_event),
        ("entries", reader.take_entry),
    ):
        for row in rows.get(sheet, []):
            gym.attempt(row, take)
    return reader.contests()


def _key_from(name: str, year: int) -> str:
    if short := short_name(name):
        return f"{short}-{year}"
    raise CellError(f"“{name}” has no letters for a key: fill in the Key column.", "name")


class _ContestReader:
    def __init__(self, gym: Gym) -> None:
        self._gym = gym
        self._drafts = {contest.id: _draft_of(contest) for contest in gym.known.contests}
        self._done: dict[tuple[str, int, str], int] = {}

    def take_contest(self, row: ParsedRow) -> None:
        values = row.values
        identity = ContestId(values.get("key") or _key_from(values["name"], values["on"].year))
        draft = self._drafts.setdefault(identity, _Draft(row, {"squad_taper": False}))
        if draft.is_touched:
            raise CellError(f"“{values['name']}” stands twice: keep one row.", "name")
        draft.is_touched, draft.row = True, row
        names = ("name", "on", "importance", "squad_taper")
        draft.fields |= {name: values[name] for name in names if name in values}
        self._note_past(row)

    def _note_past(self, row: ParsedRow) -> None:
        if row.values["on"] < self._gym.known.today:
            sentence = "The contest lies in the past: it is kept, but not planned for."
            self._gym.findings.name(row.at("on"), row.text("on"), sentence, is_blocking=False)

    def take_event(self, row: ParsedRow) -> None:
        draft = self._draft(row.values["contest"])
        name = row.values["name"]
        self._only_once(draft, name, row)
        draft.events[name] = _event(row.values, draft.events.get(name))
        self._gym.keep_written(row, name)

    def take_entry(self, row: ParsedRow) -> None:
        draft, values = self._draft(row.values["contest"]), row.values
        athlete = self._gym.athlete(values["athlete"], "athlete")
        given: dict[str, Any] = {"athlete": athlete.id}
        if "contest_class" in values:
            given["contest_class"] = values["contest_class"]
        if "need" in values:
            given["need"] = _need(values["need"], draft)
        self._only_once(draft, athlete.name, row)
        draft.entries[athlete.id] = merged(draft.entries.get(athlete.id), Entry, given)

    def _only_once(self, draft: _Draft, name: str, row: ParsedRow) -> None:
        """Refuse a second row of one event or entry, which would silently replace the first."""
        fact = (row.sheet.key, id(draft), name)
        if fact in self._done:
            raise CellError(f"“{name}” stands in row {self._done[fact]} already: keep one row.")
        self._done[fact] = row.place.row
        draft.is_touched = True

    def _draft(self, text: str) -> _Draft:
        if text in self._drafts:
            return self._drafts[ContestId(text)]
        names = {key: draft.fields["name"] for key, draft in self._drafts.items()}
        found = [key for key, name in names.items() if plain(name) == plain(text)]
        if len(found) > 1:
            raise CellError(
                f"“{text}” is the name of several contests: write a key ({', '.join(found)}).",
                "contest",
            )
        if not found:
            near = nearest(text, tuple(names.values()), 1)
            hint = f"did you mean “{near[0]}”?" if near else "add it to the Contests sheet."
            raise CellError(f"There is no contest “{text}”: {hint}", "contest")
        return self._drafts[found[0]]

    def contests(self) -> tuple[Contest, ...]:
        """The touched contests; one without events is named and left out."""
        found = (
            self._contest(key, draft) for key, draft in self._drafts.items() if draft.is_touched
        )
        return tuple(contest for contest in found if contest is not None)

    def _contest(self, identity: ContestId, draft: _Draft) -> Contest | None:
        def build(_: object = None) -> Contest:
            events, entries = tuple(draft.events.values()), tuple(draft.entries.values())
            return Contest(id=identity, events=events, entries=entries, **draft.fields)

        if draft.row is None:  # known before, so whole; only events or entries were added
            return build()
        return self._gym.attempt(draft.row, build)


def _draft_of(contest: Contest) -> _Draft:
    fields = {
        "name": contest.name,
        "on": contest.on,
        "importance": contest.importance,
        "squad_taper": contest.squad_taper,
    }
    events = {event.name: event for event in contest.events}
    return _Draft(None, fields, events, {entry.athlete: entry for entry in contest.entries})


def _event(values: Mapping[str, Any], known: ContestEvent | None) -> ContestEvent:
    given = {key: exact(value) for key, value in values.items() if key != "contest"}
    given["family"] = EventFamily(values["family"])
    given["style"] = EventStyle(values["style"])
    if "implement" in values:
        given["implement"] = Implement(values["implement"])
    if "course_m" in values:
        given["course_m"] = values["course_m"].length.in_m
    event: ContestEvent = merged(known, ContestEvent, given)
    return event


def _need(weights: Mapping[str, int], draft: _Draft) -> dict[str, float]:
    names = {plain(name): name for name in draft.events}
    need: dict[str, float] = {}
    for text, weight in weights.items():
        if plain(text) not in names:
            raise CellError(f"“{text}” is no event of this contest: see the Events sheet.", "need")
        if not LOWEST_NEED <= weight <= HIGHEST_NEED:
            raise CellError(f"The need of {text} must be 0.3–2, not {weight / 1000:g}.", "need")
        need[names[plain(text)]] = weight / 1000
    return need
