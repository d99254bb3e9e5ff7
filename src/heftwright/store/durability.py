"""What must hold before a row may be called kept; read back on every connection.

SQLite documentation, "PRAGMA synchronous" and "Write-Ahead Logging": in WAL mode only FULL (2) or
EXTRA (3) keep an acknowledged commit through a power cut. PostgreSQL documentation, "Write Ahead
Log" settings: fsync, full_page_writes and synchronous_commit must not be off.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error, register
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.signals import connection_created

from heftwright.domain.refusal import Refusal

BUSY_TIMEOUT_MS = 20_000
_WANTED_SQLITE: dict[str, frozenset[object]] = {
    "journal_mode": frozenset({"wal"}),
    "synchronous": frozenset({2, 3}),
    "foreign_keys": frozenset({1}),
    "busy_timeout": frozenset({BUSY_TIMEOUT_MS}),
}
_WANTED_POSTGRES: dict[str, frozenset[object]] = {
    "fsync": frozenset({"on"}),
    "full_page_writes": frozenset({"on"}),
    "synchronous_commit": frozenset({"on", "local", "remote_write", "remote_apply"}),
}


class NotDurableError(Refusal):
    """The database would forget what it acknowledged: the house does not open."""


def read_back(connection: BaseDatabaseWrapper) -> dict[str, object]:
    """The durability settings in force on a connection, as the database itself says."""
    query = "PRAGMA {}" if connection.vendor == "sqlite" else "SHOW {}"
    with connection.cursor() as cursor:
        found: dict[str, object] = {}
        for name in _wanted(connection):
            cursor.execute(query.format(name))
            row = cursor.fetchone()
            assert row is not None
            found[name] = row[0]
    return found


def check_durable(connection: BaseDatabaseWrapper) -> None:
    """Refuse a connection that may lose acknowledged rows.

    Raises
    ------
    NotDurableError
        Naming each setting that is wrong.
    """
    found = read_back(connection)
    wanted = _wanted(connection)
    wrong = [f"{name} is {value}" for name, value in found.items() if value not in wanted[name]]
    if wrong:
        raise NotDurableError(
            f"The database would lose acknowledged entries in a power cut: {', '.join(wrong)}. "
            "Put these settings back before the gym's data are opened."
        )


def register_checks() -> None:
    """Look at every new connection, and once at start-up through Django's system check."""
    connection_created.connect(_on_connection, dispatch_uid="heftwright.durability")
    register(_start_up_check, "database")


def _wanted(connection: BaseDatabaseWrapper) -> dict[str, frozenset[object]]:
    return _WANTED_SQLITE if connection.vendor == "sqlite" else _WANTED_POSTGRES


def _on_connection(connection: BaseDatabaseWrapper, **_: Any) -> None:
    check_durable(connection)


def _start_up_check(*, databases: Sequence[str] | None = None, **_: Any) -> list[CheckMessage]:
    try:
        for alias in databases or ():
            check_durable(connections[alias])
    except NotDurableError as error:
        return [Error(str(error), id="heftwright.E001")]
    return []
