"""Five years of a big gym in a database of its own, and how long its pages' reads take.

Run as ``python -m bench.store_scale DIRECTORY SETS``; prints figures as JSON lines. It is a process
of its own because settings are read once a process.
"""

from __future__ import annotations

import json
import random
import statistics
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

ATHLETES = 200
PHONES, SETS_A_PHONE = 200, 40
LOST_ANSWERS = 0.3
TONIGHT = datetime(2026, 11, 23, 18, 30, tzinfo=UTC)
LIFTS = ("axle_deadlift", "box_squat", "log_clean_press", "deadlift", "bench")


def main(directory: str, sets: int) -> None:
    """Fill the gym, then measure."""
    from heftwright.usecases import start

    start.open_house(Path(directory))
    fill(sets)
    reads()
    sync()


def say(name: str, value: float, unit: str, note: str = "") -> None:
    """One figure as a JSON line."""
    print(json.dumps({"name": name, "value": value, "unit": unit, "note": note}), flush=True)


def fill(sets: int) -> None:
    """Put a squad and its log straight into the tables."""
    from django.db import connection, transaction

    from heftwright.domain.squad import Athlete, AthleteId, Sex
    from heftwright.usecases import gym, squad
    from heftwright.usecases.actor import Actor, GymKey

    by, key = Actor.at_terminal(), GymKey("big")
    gym.create_gym(gym=key, name="Big", by=by, time_zone="Europe/Vienna")
    for n in range(ATHLETES):
        born = date(1985 + n % 20, 1, 1)
        athlete = Athlete(AthleteId(f"a{n}"), f"Athlete {n}", n + 1, Sex.WOMAN, born)
        squad.add_athlete(gym=key, by=by, athlete=athlete)
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SELECT id FROM store_athlete ORDER BY id")
        ids = [row[0] for row in cursor.fetchall()]
        rows = _log_rows(ids, sets)
        cursor.executemany(_INSERT, rows)
        cursor.execute("ANALYZE")


_INSERT = (
    "INSERT INTO store_loggedset (id, gym_id, athlete_id, lift, class_key, set_number,"
    " load_thousandths, load_unit, reps_done, outcome, reps_in_reserve, plan_version, logged_at,"
    " logged_offset_s, corrects, is_max_attempt, content_hash, received_at)"
    " VALUES (%s,1,%s,%s,%s,%s,%s,'kg',%s,'done',NULL,1,%s,0,NULL,%s,%s,%s)"
)


def _log_rows(ids: list[int], sets: int) -> list[tuple[object, ...]]:
    chance = random.Random(7)
    step = timedelta(days=5 * 365) / sets
    rows: list[tuple[object, ...]] = []
    for n in range(sets):
        at = TONIGHT - step * (sets - n)
        stamp = at.strftime("%Y-%m-%d %H:%M:%S.%f")
        rows.append(
            (
                UUID(int=chance.getrandbits(128)).hex, chance.choice(ids), chance.choice(LIFTS),
                f"{at.date()}/mon-1830", n % 40 + 1, chance.randrange(40, 240) * 1000, 3, stamp,
                n % 50 == 0, "0" * 64, stamp,
            )
        )  # fmt: skip
    return rows


def timed(read: Callable[[], object], times: int = 15) -> float:
    """95th percentile of the time of a read [ms]."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        read()
        spent.append(1000 * (time.perf_counter() - start))
    return statistics.quantiles(spent, n=20)[-1]


def reads() -> None:
    """The reads that pages rest on."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from heftwright.domain.squad import AthleteId
    from heftwright.usecases import clock, log, maxes, squad, trail
    from heftwright.usecases.actor import Actor, GymKey
    from heftwright.usecases.log import LogFilter

    key, by = GymKey("big"), Actor.at_terminal()
    last_night = f"{(TONIGHT - timedelta(days=1)).date()}/mon-1830"
    athlete, year = AthleteId("a7"), (TONIGHT - timedelta(days=365)).date()
    pages: dict[str, Callable[[], object]] = {
        "class_log": lambda: log.get_log(gym=key, of=LogFilter(class_key=last_night)),
        "class_version": lambda: log.get_log_version(gym=key, class_key=last_night),
        "athlete_year": lambda: log.get_log(gym=key, of=LogFilter(athlete=athlete, since=year)),
        "latest_200": lambda: log.get_log(gym=key, limit=200),
        "squad": lambda: squad.get_squad(gym=key),
        "trail": lambda: trail.get_trail(gym=key),
        "propose": lambda: maxes.propose_from_log(gym=key, by=by),
    }
    with clock.held_at(TONIGHT):
        for name, read in pages.items():
            with CaptureQueriesContext(connection) as captured:
                read()
            say(f"store_{name}_p95_ms", timed(read), "ms", f"{len(captured)} queries")


def sync() -> None:
    """Two hundred phones send forty sets each in batches of 1–8, eight phones at a time."""
    from django.db import connections

    from heftwright.usecases import log
    from heftwright.usecases.actor import Actor, GymKey
    from heftwright.usecases.log import Answer, LogFilter

    key, by = GymKey("big"), Actor.at_terminal()

    def phone(number: int) -> list[Answer]:
        answers, chance, sets = [], random.Random(number), _phone_sets(number)
        while sets:
            size = chance.randint(1, 8)
            batch, sets = sets[:size], sets[size:]
            for _ in range(1 + (chance.random() < LOST_ANSWERS)):
                answers += [a.answer for a in log.log_sets(gym=key, by=by, sets=batch)]
        connections.close_all()
        return answers

    start = time.perf_counter()
    with ThreadPoolExecutor(8) as pool:
        answers = [answer for some in pool.map(phone, range(PHONES)) for answer in some]
    spent_s = time.perf_counter() - start
    kept = len(log.get_log(gym=key, of=LogFilter(class_key="2026-11-23/sync"), limit=10**6))
    exact = kept == PHONES * SETS_A_PHONE == answers.count(Answer.KEPT)
    say(
        "store_sync_200x40_s",
        spent_s,
        "s",
        "use cases only, batches of 1–8, 30 % sent twice, 8 threads",
    )
    say("store_sync_200x40_exact", 100.0 if exact else 0.0, "%", f"{kept} kept")


def _phone_sets(number: int) -> list[object]:
    from heftwright.domain.catalogue import LiftKey
    from heftwright.domain.log import LoggedSet, SetOutcome
    from heftwright.domain.mass import EnteredMass, MassUnit
    from heftwright.domain.squad import AthleteId

    return [
        LoggedSet(
            id=UUID(int=(number << 64) + n + 1),
            athlete=AthleteId(f"a{number}"),
            lift=LiftKey("deadlift"),
            class_key="2026-11-23/sync",
            set_number=n + 1,
            load=EnteredMass(100_000 + n, MassUnit.KG),
            reps_done=2,
            outcome=SetOutcome.DONE,
            reps_in_reserve=None,
            plan_version=1,
            logged_at=TONIGHT + timedelta(minutes=n),
        )
        for n in range(SETS_A_PHONE)
    ]


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
