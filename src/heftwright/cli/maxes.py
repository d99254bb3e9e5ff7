"""``heftwright maxes NUMBER``: one athlete's maxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json

if TYPE_CHECKING:
    from heftwright.domain.squad import Athlete
    from heftwright.domain.strength.belief import Belief
    from heftwright.usecases.gathering import Gathered


@click.command("maxes")
@click.argument("athlete", metavar="NUMBER")
@gym_option
@json_option
def command(athlete: str, gym: str | None, as_json: bool) -> None:
    """Show one athlete's maxes: tested, estimated, how sure, and what each rests on."""
    key = open_gym(gym)
    from heftwright.domain.refusal import NotFoundError
    from heftwright.usecases import clock
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.gathering import Gathered

    gathered = Gathered(GymKey(key), clock.today(GymKey(key)))
    found = [a for a in gathered.athletes.values() if athlete in (str(a.number), a.name, a.id)]
    if not found:
        raise NotFoundError(f"There is no athlete “{athlete}”: see `heftwright squad`.")
    beliefs = [gathered.beliefs[found[0].id, lift] for lift in gathered.beliefs.lifts]
    if as_json:
        say_json(beliefs)
        return
    _print(found[0], beliefs, gathered)


def _print(athlete: Athlete, beliefs: list[Belief], gathered: Gathered) -> None:
    from heftwright.cli.lists import print_table

    rows = [
        (
            gathered.catalogue[belief.lift].name,
            belief.words(gathered.day),
            f"{belief.median_kg:.0f} ± {belief.plus_minus_kg:.0f} kg",
            "; ".join(source.words for source in belief.rests_on[:2]),
        )
        for belief in beliefs
    ]
    title = f"{athlete.number} {athlete.name}"
    print_table(title, ("lift", "max", "with all that is known", "rests on"), rows)
