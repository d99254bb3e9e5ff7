"""``heftwright gym``: start a gym of your own, or list those that are here."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from heftwright.usecases.actor import GymKey


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
    from heftwright.usecases.actor import Actor
    from heftwright.usecases.gym import create_gym, get_gyms, key_for_new_gym

    if name is None:
        if link or lb:
            raise click.UsageError("Say which gym: heftwright gym NAME.")
        for card in get_gyms(by=Actor.at_terminal()):
            click.echo(f"{card.key}  {card.name}  {card.time_zone}  {card.unit}")
        return
    if link:
        key = _key_of(name)
    else:
        key = key_for_new_gym(name=name)
        unit = MassUnit.LB if lb else MassUnit.KG
        create_gym(gym=key, name=name, by=Actor.at_terminal(), time_zone=zone, unit=unit)
        click.echo(f"“{name.strip()}” is open as {key}.")
    address = first_sign_in_address(key)
    click.echo("Serve it with `heftwright serve`; then the head coach signs in once with")
    click.echo(f"  {address}")


def _key_of(name: str) -> GymKey:
    """The gym of this name or short name."""
    from heftwright.domain.refusal import NotFoundError
    from heftwright.usecases.actor import Actor
    from heftwright.usecases.gym import get_gyms

    cards = get_gyms(by=Actor.at_terminal())
    for card in cards:
        if name.strip().casefold() in (card.key, card.name.casefold()):
            return card.key
    here = ", ".join(card.key for card in cards) or "none yet"
    raise NotFoundError(f"There is no gym “{name}” here: {here}.")


def first_sign_in_address(key: str, base: str = "http://127.0.0.1:8765") -> str:
    """The address of a new one-use link for the head coach."""
    from heftwright.usecases.accounts import make_first_sign_in_link
    from heftwright.usecases.actor import Actor, GymKey

    secret = make_first_sign_in_link(gym=GymKey(key), by=Actor.at_terminal())
    return f"{base}/first/{secret}"
