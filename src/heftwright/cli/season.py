"""``heftwright season``: plan the season and print it, week by week."""

from __future__ import annotations

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.sheet import SeasonStrip


@click.command("season")
@gym_option
@json_option
@click.option("--plan", "again", is_flag=True, help="Plan it again from today.")
@click.option("--limit", default=10.0, show_default=True, help="Seconds to look for a better plan.")
def command(gym: str | None, as_json: bool, again: bool, limit: float) -> None:
    """Print the season, planning it first if there is none. Ctrl-C keeps the best so far."""
    from heftwright.domain.refusal import NotFoundError

    key = open_gym(gym)
    from heftwright.usecases import season
    from heftwright.usecases.actor import GymKey

    try:
        strip = None if again else season.get_season_strip(gym=GymKey(key))
    except NotFoundError:
        strip = None
    if strip is None:
        strip = plan_with_progress(key, limit, quiet=as_json)
    say_json(strip) if as_json else print_strip(strip)


def plan_with_progress(gym: str, limit_s: float, *, quiet: bool = False) -> SeasonStrip:
    """Plan with a progress bar; Ctrl-C stops and keeps the best plan so far."""
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from heftwright.usecases import season
    from heftwright.usecases.actor import Actor, GymKey

    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, disable=quiet, transient=True) as bar:
        task = bar.add_task("Planning the season", total=1.0)

        def told(share: float, words: str) -> bool:
            bar.update(task, completed=share, description=f"Planning the season: {words}")
            return True

        return season.plan_season(
            gym=GymKey(gym), by=Actor.at_terminal(), limit_s=limit_s, on_progress=told
        )


def print_strip(strip: SeasonStrip) -> None:
    """Print the season as a table: a row a week, a column a lane."""
    from rich.console import Console
    from rich.table import Table

    table = Table(title="Season", title_justify="left", show_edge=False)
    table.add_column("week of")
    for lane in strip.lanes:
        table.add_column(lane.name)
    table.add_column("contest")
    for index, week in enumerate(strip.weeks):
        cells = [_cell(strip, lane_index, index) for lane_index in range(len(strip.lanes))]
        posts = ", ".join(post.name for post in strip.posts if post.week == index)
        kind = "" if week.kind == "normal" else f" ({week.kind})"
        mark = "› " if index == strip.this_week else ""
        table.add_row(f"{mark}{week.monday}{kind}", *cells, posts)
    Console().print(table)


def _cell(strip: SeasonStrip, lane_index: int, week: int) -> str:
    for block in strip.lanes[lane_index].blocks:
        if block.week <= week < block.week + block.weeks:
            step = f" {week - block.week + 1}/{block.weeks}" if block.weeks > 1 else ""
            pin = " (pinned)" if block.is_pinned else ""
            return f"{block.label}{step}{pin}\n  {block.detail}"
    return "–"
