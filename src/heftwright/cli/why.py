"""``heftwright why NUMBER``: one athlete's load of tonight, taken apart."""

from __future__ import annotations

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.sheet import LifterLine, PlatformSheet


@click.command("why")
@click.argument("athlete", metavar="NUMBER")
@gym_option
@json_option
def command(athlete: str, gym: str | None, as_json: bool) -> None:
    """Take one athlete's load of tonight apart: every reason behind it."""
    key = open_gym(gym)
    from heftwright.domain.refusal import NotFoundError
    from heftwright.usecases import classes
    from heftwright.usecases.actor import GymKey

    view = classes.get_today(gym=GymKey(key))
    for item in view.classes:
        sheet = classes.get_class_sheet(gym=GymKey(key), class_key=item.class_time.key, on=item.on)
        for platform in sheet.platforms:
            for line in platform.lifters:
                if athlete in (str(line.number), line.name, line.athlete):
                    _say(line, platform, as_json)
                    return
    raise NotFoundError(f"Nobody “{athlete}” has a bar tonight: see `heftwright tonight`.")


def _say(line: LifterLine, platform: PlatformSheet, as_json: bool) -> None:
    if as_json:
        say_json(line)
        return
    from rich.console import Console

    from heftwright.cli.class_table import print_why

    print_why(line, platform, Console())
