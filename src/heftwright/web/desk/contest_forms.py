"""Contests and their events as forms, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import EventFamily, Implement
from heftwright.domain.contest import Contest, ContestEvent, ContestId, EventStyle
from heftwright.domain.mass import MassUnit
from heftwright.web.render.forms import Field, Form, Kind, form_of
from heftwright.web.render.quantities import meant

_IMPORTANCE = (("1", "minor"), ("2", "wanted"), ("3", "the one"))
_FAMILIES = tuple((item.value, item.value.replace("_", " ")) for item in EventFamily)
_STYLES = (
    (EventStyle.MAX.value, "one big lift"),
    (EventStyle.REPS.value, "reps on a clock"),
    (EventStyle.RUN.value, "a run"),
)
_IMPLEMENTS = (("", "not said"), *((item.value, item.shown) for item in Implement))

_CONTEST = (
    Field("name", "Contest", is_required=True),
    Field("on", "Day", Kind.DAY, is_required=True),
    Field("importance", "How much it counts", Kind.CHOICE, choices=_IMPORTANCE, is_required=True),
    Field("squad_taper", "The whole squad eases for it", Kind.CHECK),
)
_EVENT = (
    Field("event", "Event", hint="As on the entry form.", is_required=True),
    Field("family", "Asks for", Kind.CHOICE, choices=_FAMILIES, is_required=True),
    Field("style", "Won by", Kind.CHOICE, choices=_STYLES, is_required=True),
    Field("implement", "With", Kind.CHOICE, choices=_IMPLEMENTS),
    Field("load_men", "Load, men", Kind.MASS, "Empty: not announced or a rising bar."),
    Field("load_women", "Load, women", Kind.MASS),
    Field("time_cap_s", "Time limit, s", Kind.WHOLE),
    Field("course_m", "Course, m", Kind.NUMBER),
)
_SEEN = Field("was_seen", "", Kind.HIDDEN)
NEW_FORM = form_of((*_CONTEST, *_EVENT))
CHANGE_FORM = form_of((*_CONTEST, _SEEN))
EVENT_FORM = form_of(_EVENT)
ENTRY_FORM = form_of(
    (
        Field("athlete", "Athlete", Kind.HIDDEN, is_required=True),
        Field("contest_class", "Class"),
        Field("enters", "Enters", Kind.CHECK),
    )
)


def filled_for(contest: Contest, was_seen: str) -> Form:
    """The form with a contest standing in it."""
    return CHANGE_FORM.filled(
        {
            "name": contest.name,
            "on": contest.on,
            "importance": contest.importance,
            "squad_taper": contest.squad_taper,
            "was_seen": was_seen,
        }
    )


def blank(unit: MassUnit) -> Form:
    """The form of a new contest, with its first event."""
    return NEW_FORM.filled(
        {"importance": 2, "load_men_unit": unit.value, "load_women_unit": unit.value}
    )


def key_from(name: str, year: int) -> ContestId:
    """A short name for a contest: ``spring-open-2027``."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:50] or "contest"
    return ContestId(f"{plain}-{year}")


def contest_from(values: Mapping[str, Any]) -> Contest:
    """A new contest as answered."""
    return Contest(
        id=key_from(values["name"], values["on"].year),
        name=values["name"],
        on=values["on"],
        importance=int(values["importance"]),
        squad_taper=values["squad_taper"],
        events=(event_from(values),),
    )


def changed_contest(old: Contest, values: Mapping[str, Any]) -> Contest:
    """A contest with its head as answered; events and entries stay."""
    return replace(
        old,
        name=values["name"],
        on=values["on"],
        importance=int(values["importance"]),
        squad_taper=values["squad_taper"],
    )


def event_from(values: Mapping[str, Any]) -> ContestEvent:
    """An event as answered."""
    implement = values["implement"]
    return ContestEvent(
        name=values["event"],
        family=EventFamily(values["family"]),
        style=EventStyle(values["style"]),
        implement=Implement(implement) if implement else None,
        load_men=meant(values["load_men"]),
        load_women=meant(values["load_women"]),
        time_cap_s=values["time_cap_s"],
        course_m=values["course_m"],
    )
