"""``heftwright squad``: the squad with their main maxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.cli.max_words import MAIN_LIFTS, max_now, unit_of

if TYPE_CHECKING:
    from heftwright.domain.mass import MassUnit
    from heftwright.domain.strength.belief import Belief
    from heftwright.usecases.gathering import Gathered


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
    _print(gathered, unit_of(key))


def _print(gathered: Gathered, unit: MassUnit) -> None:
    from heftwright.cli.lists import print_table

    names = [gathered.catalogue[lift].name for lift in MAIN_LIFTS]
    rows = []
    for athlete in gathered.athletes.values():
        cells = [_max(gathered.beliefs.get((athlete.id, lift)), unit) for lift in MAIN_LIFTS]
        minor = " (under 18)" if athlete.is_minor_on(gathered.day) else ""
        rows.append((str(athlete.number), f"{athlete.name}{minor}", *cells))
    print_table("Squad", ("no", "athlete", *names), rows, whole="athlete")


def _max(belief: Belief | None, unit: MassUnit) -> str:
    if belief is None:
        return "–"
    return max_now(belief, unit) + ("" if belief.is_tested else " ~")
