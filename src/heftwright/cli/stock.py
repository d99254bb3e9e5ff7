"""``heftwright stock``: what the gym owns."""

from __future__ import annotations

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.stock import Stock


@click.command("stock")
@gym_option
@json_option
def command(gym: str | None, as_json: bool) -> None:
    """List bars, plates, bands and what else the gym owns, and what is not fit for use."""
    key = open_gym(gym)
    from heftwright.domain.resistance.chooser import left_out
    from heftwright.usecases import clock
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.stock import get_stock

    stock = get_stock(gym=GymKey(key))
    if as_json:
        say_json(stock)
        return
    _print(stock)
    for sentence in left_out(stock, clock.today(GymKey(key))):
        click.echo(f"Not offered: {sentence}")


def _print(stock: Stock) -> None:
    from heftwright.cli.lists import print_table

    print_table(
        "Bars", ("bar", "count", "mass", "with collars"),
        [(bar.name, str(bar.count), str(bar.mass), str(bar.empty)) for bar in stock.bars],
    )  # fmt: skip
    print_table(
        "Plates", ("plate", "mass", "pairs"),
        [(plate.key, str(plate.mass), str(plate.pairs)) for plate in stock.plates],
    )  # fmt: skip
    print_table(
        "Bands", ("band", "pairs", "rest length", "readings"),
        [(b.name, str(b.pairs), str(b.rest_length), str(len(b.readings))) for b in stock.bands],
    )  # fmt: skip
    print_table(
        "Chains", ("chain", "pairs", "mass a metre", "length"),
        [(c.name, str(c.pairs), str(c.mass_per_m), str(c.length)) for c in stock.chains],
    )  # fmt: skip
    print_table(
        "Implements", ("implement", "count", "mass"),
        [(i.name, str(i.count), str(i.mass or "never weighed")) for i in stock.implements],
    )  # fmt: skip
