"""Opening the house: settings, tables, durability, work that a stopped server left behind."""

from __future__ import annotations

import os
from pathlib import Path

import django


def get_ready(data: Path | None = None) -> None:
    """Load the settings, so that the other use cases can be imported.

    Parameters
    ----------
    data : Path or None
        The data directory; None: ``HEFTWRIGHT_DATA`` or ``./data``.
    """
    if data is not None:
        os.environ["HEFTWRIGHT_DATA"] = str(data)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "heftwright.config.settings")
    django.setup()


def open_house(data: Path | None = None) -> None:
    """Get ready, make the data directory and the tables, and refuse a forgetful database.

    Raises
    ------
    Refusal
        If the database would lose acknowledged rows.
    """
    get_ready(data)
    from django.conf import settings
    from django.core.management import call_command
    from django.db import connection

    from heftwright.store import durability

    Path(settings.DATA_DIR).mkdir(parents=True, exist_ok=True, mode=0o700)
    call_command("migrate", interactive=False, verbosity=0)
    durability.check_durable(connection)
