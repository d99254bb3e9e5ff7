"""``heftwright squad``: the squad with their main maxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.catalogue import LiftKey

if TYPE_CHECKING:
    from heftwright.domain.strength.belief import Belief
    from heftwright.usecases.gathering import Gathered

MAIN = tuple(map(LiftKey, ("deadlift", "back_squat", "bench", "log_clean_press")))


@click.command("squad")
@gym_option
@json_option
def command(gym: str | None, as_json: bool) -> None:
    """List the squad with their main maxes; ~ marks an estimate."""
    key = open_gym(gym)
    from heftwright.usecases import clock
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.gathering import Gathered

    gathered = Gathered(GymKey(key), clock.today(GymKey(key)))
    if as_json:
        say_json(list(gathered.athletes.values()))
        return
    _print(gathered)


def _print(gathered: Gathered) -> None:
    from heftwright.cli.lists import print_table

    names = [gathered.catalogue[lift].name for lift in MAIN]
    rows = []
    for athlete in gathered.athletes.values():
        cells = [_max(gathered.beliefs.get((athlete.id, lift))) for lift in MAIN]
        minor = "under 18" if athlete.is_minor_on(gathered.day) else ""
        rows.append((str(athlete.number), athlete.name, *cells, minor))
    print_table("Squad", ("no", "athlete", *names, ""), rows)


def _max(belief: Belief | None) -> str:
    if belief is None:
        return "–"
    return f"{belief.median_kg:.0f} ± {belief.plus_minus_kg:.0f}{'' if belief.is_tested else ' ~'}"
