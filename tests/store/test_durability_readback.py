"""The database is asked whether it keeps what it acknowledges, on every connection."""

from __future__ import annotations

from importlib import resources

import pytest
from django.core.checks import run_checks
from django.core.management import call_command
from django.db import connection, connections

from heftwright.config import env
from heftwright.store import durability
from heftwright.store.durability import NotDurableError

SAFE = "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL"

pytestmark = pytest.mark.django_db


@pytest.fixture
def sqlite(tmp_path):
    """A maker of SQLite connections with options of their own."""
    made = []

    def make(**options):
        settings = env.sqlite_database(tmp_path / "other.sqlite3")
        settings["OPTIONS"] = {**settings["OPTIONS"], **options}
        fresh = connections["default"].__class__({**connection.settings_dict, **settings}, "other")
        made.append(fresh)
        return fresh

    yield make
    for item in made:
        item.close()


def is_sqlite():
    return connection.vendor == "sqlite"


def test_the_settings_in_force_are_those_that_keep_rows():
    # SQLite documentation, PRAGMA synchronous: 2 is FULL.
    if is_sqlite():
        wanted = {
            "journal_mode": "wal",
            "synchronous": 2,
            "foreign_keys": 1,
            "busy_timeout": 20_000,
        }
        assert durability.read_back(connection) == wanted
    else:
        assert set(durability.read_back(connection).values()) == {"on"}


def test_a_connection_as_configured_opens(sqlite):
    if is_sqlite():
        sqlite().ensure_connection()


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=NORMAL"}, "synchronous is 1"),
        ({"init_command": "PRAGMA synchronous=FULL"}, "journal_mode is delete"),
        ({"timeout": 5}, "busy_timeout is 5000"),
        (
            {"init_command": f"{SAFE};PRAGMA foreign_keys=OFF"},
            "foreign_keys is 0",
        ),
    ],
)
def test_a_connection_that_would_forget_is_refused(sqlite, options, sentence):
    if is_sqlite():
        with pytest.raises(NotDurableError, match=sentence):
            sqlite(**options).ensure_connection()


def test_postgresql_without_synchronous_commit_is_refused():
    if not is_sqlite():
        with connection.cursor() as cursor:
            cursor.execute("SET LOCAL synchronous_commit = off")
        with pytest.raises(NotDurableError, match="synchronous_commit is off"):
            durability.check_durable(connection)


def test_the_start_up_check_finds_nothing_wrong():
    assert run_checks(tags=["database"], databases=["default"]) == []


def test_the_start_up_check_stops_a_forgetful_database(monkeypatch):
    monkeypatch.setitem(durability._WANTED_SQLITE, "synchronous", frozenset({9}))
    monkeypatch.setitem(durability._WANTED_POSTGRES, "fsync", frozenset({"never"}))
    found = run_checks(tags=["database"], databases=["default"])
    assert [item.id for item in found] == ["heftwright.E001"]


def test_migrations_say_everything_the_models_say():
    call_command("makemigrations", "store", check=True, dry_run=True, verbosity=0)


def test_migrations_import_nothing_of_the_house():
    for file in resources.files("heftwright.store.migrations").iterdir():
        if file.name.endswith(".py"):
            assert "import heftwright" not in file.read_text()
            assert "heftwright.domain" not in file.read_text()
