"""How a verb changes things: in one transaction, by somebody who may, with a trail."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, ParamSpec, TypeVar
from uuid import uuid4

from django.db import connection, transaction

from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.store import records
from heftwright.store.documents import digest
from heftwright.store.gym_rows import lock_gym
from heftwright.store.models import AuditRow, Gym
from heftwright.store.records import RecordKind
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.permissions import Right, check_may_in

P = ParamSpec("P")
R = TypeVar("R")

_WRITER = threading.RLock()
VERBS: dict[str, Callable[..., Any]] = {}


class ChangedMeanwhileError(Refusal):
    """Somebody else changed it after it was shown (HTTP 412)."""


def verb(function: Callable[P, R]) -> Callable[P, R]:
    """Enter a function that changes things in the list of verbs."""
    VERBS[function.__name__] = function
    return function


def seen(value: object) -> str:
    """A short mark of a value as shown; give it back with the change to guard against others'."""
    return digest(value)[:20]


class Trail:
    """What one verb changed, written as audit rows when it succeeds."""

    def __init__(self, gym: Gym, by: Actor, verb_name: str) -> None:
        self.gym = gym
        self.by = by
        self.verb = verb_name
        self.moment = clock.now()
        self.act = uuid4()
        self._rows: list[AuditRow] = []

    def note(self, subject: str, before: Any = None, after: Any = None) -> None:
        """Say that ``subject`` changed from one document to another."""
        row = AuditRow(
            gym=self.gym,
            act=self.act,
            at=self.moment,
            who=self.by.name[:120],
            account_id=self.by.account,
            via=self.by.door,
            verb=self.verb,
            subject=subject[:160],
            before=before,
            after=after,
        )
        self._rows.append(row)

    def put(self, value: Any) -> None:
        """Add or change a record; nothing is noted when it already stands so."""
        kind, key = records.kind_of(value), records.key_of(value)
        before = records.read_record(self.gym, kind, key)
        if before == value:
            return
        document = records.document_of(value)
        check_text(json.dumps(document, ensure_ascii=False))
        records.put_record(self.gym, value)
        self.note(records.subject_of(kind, key), records.document_of(before), document)

    def drop(self, kind: RecordKind, key: str) -> None:
        """Take a record away.

        Raises
        ------
        NotFoundError
            If it is not there.
        """
        before = self.find(kind, key)
        records.drop_record(self.gym, kind, key)
        self.note(records.subject_of(kind, key), records.document_of(before), None)

    def find(self, kind: RecordKind, key: str, was_seen: str | None = None) -> Any:
        """The record that stands, unchanged since ``was_seen``.

        Raises
        ------
        NotFoundError
            If it is not there.
        ChangedMeanwhileError
            If somebody changed it since it was shown.
        """
        value = records.read_record(self.gym, kind, key)
        if value is None:
            raise no_record(kind, key)
        if was_seen is not None and was_seen != seen(value):
            raise ChangedMeanwhileError(
                f"The {_spoken(kind)} “{key}” was changed by somebody else after you opened it. "
                "Look at it as it stands now, then change it again; what you wrote is kept."
            )
        return value

    def add(self, value: Any) -> None:
        """Add a record whose key is free.

        Raises
        ------
        Refusal
            If the key is taken.
        """
        kind, key = records.kind_of(value), records.key_of(value)
        if records.read_record(self.gym, kind, key) is not None:
            raise Refusal(f"There is a {_spoken(kind)} “{key}” already: give another short name.")
        self.put(value)

    def before_and_after(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What was noted so far: by subject, the first before and the last after."""
        before: dict[str, Any] = {}
        for row in self._rows:
            before.setdefault(row.subject, row.before)
        return before, {row.subject: row.after for row in self._rows}

    def write(self) -> None:
        """Write what was noted."""
        AuditRow.objects.bulk_create(self._rows)


@contextmanager
def change(gym: GymKey, by: Actor, verb_name: str, right: Right) -> Iterator[Trail]:
    """One transaction of somebody who may, in one gym, with its audit rows.

    Raises
    ------
    NotFoundError
        If the gym is not there, or is not theirs.
    ForbiddenError
        If they may not.
    """
    with _in_turn(), transaction.atomic():
        row = lock_gym(gym)
        check_may_in(by, row, right)
        trail = Trail(row, by, verb_name)
        yield trail
        trail.write()


@contextmanager
def _in_turn() -> Iterator[None]:
    """Let this process's threads write to SQLite one after the other.

    SQLite has one writer; without this the others sleep and poll in its busy handler, at worst
    100 ms too long each time. Inside a transaction the database's own lock is held already.
    """
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with _WRITER:
            yield
    else:
        yield


def check_text(text: str) -> None:
    """Refuse what not every database can keep, before one of them answers with a trace.

    Raises
    ------
    Refusal
        If the text holds a NUL character or half of a pair.
    """
    if "\0" in text or "\\u0000" in text or any("\ud800" <= ch <= "\udfff" for ch in text):
        raise Refusal("The text holds a character that cannot be kept: type it again by hand.")


def no_record(kind: RecordKind, key: str) -> NotFoundError:
    """The sentence for a record that is not there."""
    return NotFoundError(f"There is no {_spoken(kind)} “{key}” in this gym: see its list.")


def _spoken(kind: RecordKind) -> str:
    return kind.value.replace("_", " ")
