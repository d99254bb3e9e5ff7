"""``heftwright lifts``: the lift catalogue."""

from __future__ import annotations

import click

from heftwright.cli.house import json_option, say_json


@click.command("lifts")
@json_option
def command(as_json: bool) -> None:
    """List the lift catalogue; its numbers are common practice and editable."""
    from heftwright.cli.lists import print_table
    from heftwright.domain.catalogue import load_catalogue

    lifts = list(load_catalogue().values())
    if as_json:
        say_json(lifts)
        return
    rows = [
        (
            lift.key,
            lift.name,
            ", ".join(sorted(slot.shown for slot in lift.slots)) or "after a lower day's main lift",
            ", ".join(form.resistance.shown for form in lift.dynamic),
        )
        for lift in lifts
    ]
    print_table("Lifts", ("key", "lift", "slots", "dynamic-effort forms"), rows)
