"""Reading the phone's facts: every set is checked by itself, a bad one never stops the rest."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from heftwright.domain.catalogue import LiftKey
from heftwright.domain.log import LoggedSet, SetOutcome
from heftwright.domain.mass import EnteredMass, MassUnit
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

MOST_AT_ONCE = 500


class PhoneFactError(Refusal):
    """A fact that cannot be read."""


@dataclass(frozen=True, slots=True)
class Unread:
    """A fact that cannot be read, with its id if that much could be, and why."""

    id: str
    why: str


def read_facts(
    body: bytes, athlete: AthleteId, lift_of: Callable[[str], LiftKey]
) -> Iterator[LoggedSet | Unread]:
    """Every fact of a batch, in order.

    Parameters
    ----------
    lift_of : callable
        Class key -> the athlete's main lift in that class; raises a refusal for no such class.

    Raises
    ------
    PhoneFactError
        If the batch itself cannot be read.
    """
    for record in _records(body):
        try:
            yield _fact(record, athlete, lift_of)
        except (KeyError, TypeError, ValueError) as error:
            yield Unread(str(record.get("id", ""))[:40], _why(error))


def _records(body: bytes) -> list[Mapping[str, Any]]:
    try:
        document = json.loads(body)
    except ValueError:
        raise PhoneFactError("This is not JSON: reload the card.") from None
    records = document.get("sets") if isinstance(document, dict) else None
    if not isinstance(records, list) or not all(isinstance(item, dict) for item in records):
        raise PhoneFactError("A batch is an object with a list of “sets”: reload the card.")
    if len(records) > MOST_AT_ONCE:
        raise PhoneFactError(f"{len(records)} sets at once: send at most {MOST_AT_ONCE}.")
    return records


def _fact(
    record: Mapping[str, Any], athlete: AthleteId, lift_of: Callable[[str], LiftKey]
) -> LoggedSet:
    class_key = _text(record, "class_key")
    reserve = record.get("reps_in_reserve")
    return LoggedSet(
        id=UUID(_text(record, "id")),
        athlete=athlete,
        lift=lift_of(class_key),
        class_key=class_key,
        set_number=_whole(record, "set_number"),
        load=EnteredMass.read(_text(record, "load"), MassUnit(_text(record, "unit"))),
        reps_done=_whole(record, "reps_done"),
        outcome=SetOutcome(_text(record, "outcome")),
        reps_in_reserve=None if reserve is None else float(_whole(record, "reps_in_reserve")),
        plan_version=_whole(record, "plan_version"),
        logged_at=datetime.fromisoformat(_text(record, "logged_at")),
        is_max_attempt=_yes_or_no(record, "is_max_attempt"),
    )


def _text(record: Mapping[str, Any], name: str) -> str:
    value = record[name]
    if not isinstance(value, str) or len(value) > 120:
        raise PhoneFactError(f"{name} must be a short text.")
    return value


def _whole(record: Mapping[str, Any], name: str) -> int:
    value = record[name]
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < 10**6:
        raise PhoneFactError(f"{name} must be a whole number from 0.")
    return value


def _yes_or_no(record: Mapping[str, Any], name: str) -> bool:
    """No where a phone that was loaded before it was asked does not say."""
    value = record.get(name, False)
    if not isinstance(value, bool):
        raise PhoneFactError(f"{name} must be true or false.")
    return value


def _why(error: Exception) -> str:
    if isinstance(error, Refusal):
        return str(error)
    if isinstance(error, KeyError):
        return f"{error.args[0]} is missing: reload the card."
    return "A value cannot be read: reload the card."
