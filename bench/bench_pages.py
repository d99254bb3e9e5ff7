"""Server time of the pages at 500,000 logged sets, over the app's own request path."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from bench.figure import Figure

PREFIXES = ("page_", "board_")
SETS = 500_000
REQUESTS = 40


def figures() -> Iterator[Figure]:
    """The demo gym with its log grown to 500,000 sets; p95 of 40 requests a page."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["HEFTWRIGHT_DATA"] = folder
        client, board = _gym(Path(folder))
        for name, path in _pages(board).items():
            p95_ms = _p95_ms(client, path)
            yield Figure(
                f"page_{name}_p95_ms", p95_ms, "ms", "lower", 150.0,
                note=f"{path[:24]} at {SETS:,} logged sets",
            )  # fmt: skip


def _pages(board: str) -> dict[str, str]:
    desk = "/gym/dunnock-row"
    return {
        "today": f"{desk}/today/",
        "season": f"{desk}/season/",
        "board": f"/board/{board}/",
    }


def _gym(folder: Path) -> tuple[Any, str]:
    from heftwright.usecases.start import open_house

    open_house()
    from django.conf import settings
    from django.test import Client

    from heftwright.demo.build import GYM, make_demo
    from heftwright.usecases import accounts, classes, season
    from heftwright.usecases.actor import Actor

    by = Actor.at_terminal()
    make_demo(folder / "sheets", lambda _: None)
    season.plan_season(gym=GYM, by=by, limit_s=3.0)
    for item in classes.get_today(gym=GYM).classes:
        classes.plan_class(gym=GYM, class_key=item.class_time.key, on=item.on, by=by)
    _grow_log()
    settings.ALLOWED_HOSTS = ["testserver"]
    secret = accounts.make_first_sign_in_link(gym=GYM, by=by)
    coach = accounts.redeem_first_sign_in(secret=secret, name="Bench", password=secret[:24])
    client = Client()
    client.force_login(accounts.get_session_user(account=coach.account or 0))
    return client, accounts.make_board_link(gym=GYM, by=by)


def _grow_log() -> None:
    """Copy the history back through the years until the log holds 500,000 sets."""
    from uuid import uuid4

    from heftwright.store.models import LoggedSet

    rows = list(LoggedSet.objects.all())
    have, years_back = len(rows), 0
    while have < SETS:
        years_back += 1
        copies = rows[: SETS - have]
        for row in copies:
            row.pk = uuid4()
            row.logged_at -= timedelta(days=140)
        LoggedSet.objects.bulk_create(copies, batch_size=2000)
        have += len(copies)
    assert LoggedSet.objects.filter(logged_at__lt=datetime.now(UTC)).count() >= SETS


def _p95_ms(client: Any, path: str) -> float:
    first = client.get(path, follow=True)
    assert first.status_code == 200, (path, first.status_code)
    times = []
    for _ in range(REQUESTS):
        started = time.perf_counter()
        client.get(path, follow=True)
        times.append(1000 * (time.perf_counter() - started))
    return float(np.quantile(times, 0.95))
