"""``heftwright gym``: start a gym of your own, or list those that are here."""

from __future__ import annotations

import re

import click


@click.command("gym")
@click.argument("name", required=False)
@click.option("--zone", default="UTC", show_default=True, help="Time zone, as Europe/Vienna.")
@click.option("--lb", is_flag=True, help="Show masses in pounds.")
@click.option("--link", is_flag=True, help="Make a new first sign-in link for a gym that is here.")
def command(name: str | None, zone: str, lb: bool, link: bool) -> None:
    """Start a gym called NAME and print the coach's one-use sign-in link; or list the gyms."""
    from heftwright.usecases.start import open_house

    open_house()
    from heftwright.domain.mass import MassUnit
    from heftwright.usecases.actor import Actor, GymKey
    from heftwright.usecases.gym import create_gym, get_gyms

    if name is None:
        for card in get_gyms(by=Actor.at_terminal()):
            click.echo(f"{card.key}  {card.name}  {card.time_zone}  {card.unit}")
        return
    key = GymKey(re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-"))
    if not link:
        unit = MassUnit.LB if lb else MassUnit.KG
        create_gym(gym=key, name=name, by=Actor.at_terminal(), time_zone=zone, unit=unit)
        click.echo(f"“{name}” is open as {key}.")
    click.echo("Serve it with `heftwright serve`; then the head coach signs in once with")
    click.echo(f"  {first_sign_in_address(key)}")


def first_sign_in_address(key: str, base: str = "http://127.0.0.1:8765") -> str:
    """The address of a new one-use link for the head coach."""
    from heftwright.usecases.accounts import make_first_sign_in_link
    from heftwright.usecases.actor import Actor, GymKey

    secret = make_first_sign_in_link(gym=GymKey(key), by=Actor.at_terminal())
    return f"{base}/first/{secret}"
