"""``heftwright maxes ATHLETE``: one athlete's maxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from heftwright.cli.athletes import athlete_argument, find_athlete
from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.cli.max_words import MAIN_LIFTS, max_now, unit_of

if TYPE_CHECKING:
    from heftwright.domain.mass import MassUnit
    from heftwright.domain.squad import Athlete
    from heftwright.domain.strength.belief import Belief
    from heftwright.usecases.gathering import Gathered


@click.command("maxes")
@athlete_argument
@gym_option
@json_option
@click.option("--all", "every", is_flag=True, help="Also every lift that is only estimated.")
def command(athlete: str, gym: str | None, as_json: bool, every: bool) -> None:
    """Show an athlete's tested maxes and main lifts. ATHLETE: squad number, name or part of it."""
    key = open_gym(gym)
    from heftwright.usecases import clock
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.gathering import Gathered

    gathered = Gathered(GymKey(key), clock.today(GymKey(key)))
    found = find_athlete(athlete, gathered.athletes.values())
    beliefs = [gathered.beliefs[found.id, lift] for lift in gathered.beliefs.lifts]
    if as_json:
        say_json(beliefs)
        return
    shown = [item for item in beliefs if every or item.is_tested or item.lift in MAIN_LIFTS]
    _print(found, shown, gathered, unit_of(key))
    if len(shown) < len(beliefs):
        click.echo(f"{len(beliefs) - len(shown)} more lifts are estimated: --all shows them.")


def _print(athlete: Athlete, beliefs: list[Belief], gathered: Gathered, unit: MassUnit) -> None:
    from heftwright.cli.lists import print_table

    rows = [
        (
            gathered.catalogue[belief.lift].name,
            max_now(belief, unit),
            belief.words(gathered.day, unit) if belief.is_tested else _estimated(belief),
        )
        for belief in beliefs
    ]
    title = f"{athlete.number} {athlete.name}, {gathered.day.day} {gathered.day:%B %Y}"
    print_table(title, ("lift", "max now", "rests on"), rows)


def _estimated(belief: Belief) -> str:
    return f"estimated: {belief.rests_on[0].words}" if belief.rests_on else "estimated"
