"""``heftwright why ATHLETE``: one athlete's load of tonight, taken apart."""

from __future__ import annotations

import click

from heftwright.cli.athletes import athlete_argument, find_athlete
from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.refusal import NotFoundError
from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.domain.squad import Athlete


@click.command("why")
@athlete_argument
@gym_option
@json_option
def command(athlete: str, gym: str | None, as_json: bool) -> None:
    """Take one athlete's load of tonight apart. ATHLETE: squad number, name or part of it."""
    key = open_gym(gym)
    from heftwright.usecases import classes
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.squad import get_squad

    asked = find_athlete(athlete, get_squad(gym=GymKey(key)))
    planned = [item for item in classes.get_today(gym=GymKey(key)).classes if item.plan_version]
    if not planned:
        raise NotFoundError("No class is planned yet: `heftwright tonight` plans it.")
    sheets = [
        classes.get_class_sheet(gym=GymKey(key), class_key=item.class_time.key, on=item.on)
        for item in planned
    ]
    for sheet in sheets:
        if (found := sheet.line_of(asked.id)) is not None:
            _say(found[1], found[0], as_json)
            return
    raise NotFoundError(_no_bar(asked, sheets))


def _no_bar(asked: Athlete, sheets: list[ClassSheet]) -> str:
    """Why somebody of the squad has no bar in the class, where the plan says it."""
    who = f"{asked.number} {asked.name} has no bar"
    for sheet in sheets:
        for person in sheet.unplaced:
            if person.athlete == asked.id:
                return f"{who} on {sheet.on:%A %d %B}: {person.why}"
    return f"{who} on {sheets[0].on:%A %d %B}: not one of that class. See `heftwright tonight`."


def _say(line: LifterLine, platform: PlatformSheet, as_json: bool) -> None:
    if as_json:
        say_json(line)
        return
    from rich.console import Console

    from heftwright.cli.class_table import print_why

    print_why(line, platform, Console())
