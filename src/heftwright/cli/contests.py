"""``heftwright contests``: the contest calendar."""

from __future__ import annotations

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json


@click.command("contests")
@gym_option
@json_option
def command(gym: str | None, as_json: bool) -> None:
    """List the contest calendar with events and entrants."""
    key = open_gym(gym)
    from heftwright.cli.lists import print_table
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.contests import get_contests

    found = get_contests(gym=GymKey(key))
    if as_json:
        say_json(found)
        return
    rows = [
        (
            str(contest.on),
            contest.name,
            str(contest.importance),
            "squad tapers" if contest.squad_taper else "",
            ", ".join(event.name for event in contest.events),
            str(len(contest.entries)),
        )
        for contest in found
    ]
    print_table("Contests", ("date", "contest", "importance", "", "events", "entries"), rows)
