"""``heftwright demo``: the demo gym, the main job, and the web app's address."""

from __future__ import annotations

import os
from pathlib import Path

import click

from heftwright.cli.findings import print_preview
from heftwright.cli.gym import first_sign_in_address
from heftwright.cli.serve import (
    addresses,
    check_port_free,
    host_option,
    port_option,
    serve,
)

BOARD_LABEL, KEPT_BOARD_LINKS = "demo", 4


@click.command("demo")
@host_option
@port_option
@click.option("--no-serve", is_flag=True, help="Stop after printing tonight's class.")
def command(host: str, port: int, no_serve: bool) -> None:
    """Set up the demo gym, plan its season and tonight's class, print it, serve the web app."""
    if not no_serve:
        check_port_free(host, port)
    places = addresses(host, port)
    from heftwright.usecases.start import open_house

    open_house()
    _make_if_new()
    _run_main_job()
    if no_serve:
        return
    _print_addresses(places[0])
    for address in places[1:]:
        click.echo(f"On the gym's network: {address}/")
    serve(host, port)


def _make_if_new() -> None:
    from heftwright.demo.build import is_made, make_demo

    if is_made():
        click.echo("The demo gym Dunnock Row is here; its data are kept.")
        return
    folder = Path(os.environ.get("HEFTWRIGHT_DATA", "data")) / "demo-spreadsheets"
    made = make_demo(folder, click.echo)
    click.echo("\nWhat the import door said of them (some cells are wrong on purpose):")
    print_preview(made.preview)
    click.echo("Good rows are accepted; the others wait for the coach (Import, on the desk).")
    click.echo(f"{made.logged} sets of history are in the log.\n")


def _run_main_job() -> None:
    from rich.console import Console

    from heftwright.cli.class_table import print_class_sheet
    from heftwright.cli.season import plan_with_progress, print_strip
    from heftwright.demo.build import GYM
    from heftwright.usecases import classes, clock, season
    from heftwright.usecases.actor import Actor

    if season.find_planned_season(gym=GYM) is None:
        print_strip(plan_with_progress(GYM, season.LIMIT_S))
    view = classes.get_today(gym=GYM)
    for item in view.classes:
        key, on = item.class_time.key, item.on
        if not item.plan_version:
            classes.plan_class(gym=GYM, class_key=key, on=on, by=Actor.at_terminal())
        print_class_sheet(
            classes.get_class_sheet(gym=GYM, class_key=key, on=on), Console(), clock.today(GYM)
        )


def _print_addresses(base: str) -> None:
    from heftwright.demo.build import GYM
    from heftwright.usecases.accounts import (
        get_coaches,
        get_links,
        make_board_link,
        revoke_link,
    )
    from heftwright.usecases.actor import Actor

    click.echo(f"\nThe web app: {base}/")
    if not get_coaches(gym=GYM):
        click.echo(f"First sign-in for the head coach (once): {first_sign_in_address(GYM, base)}")
    by = Actor.at_terminal()
    older = [link for link in get_links(gym=GYM) if link.label == BOARD_LABEL]
    for link in sorted(older, key=lambda item: item.made_at)[: -KEPT_BOARD_LINKS or None]:
        revoke_link(gym=GYM, by=by, link=link.key)
    board = make_board_link(gym=GYM, by=by, label=BOARD_LABEL)
    click.echo(f"Wall board: {base}/board/{board}/")
    click.echo("Ctrl-C stops it; the gym's data stay in the data folder.")
