"""``heftwright season``: plan the season and print it, week by week."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.sheet import SeasonStrip

if TYPE_CHECKING:
    from rich.console import Console

    from heftwright.domain.sheet.season_strip import StripLane

TABLE_WIDTH = 128


@click.command("season")
@gym_option
@json_option
@click.option("--plan", "again", is_flag=True, help="Plan it again from today.")
@click.option(
    "--limit", default=10, show_default="10", type=click.IntRange(1, 3600), metavar="SECONDS",
    help="How long to look for a better plan, 1–3600.",
)  # fmt: skip
def command(gym: str | None, as_json: bool, again: bool, limit: int) -> None:
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
    if as_json:
        say_json(strip)
        return
    print_strip(strip)
    click.echo(season.get_planned_season(gym=GymKey(key)).gap_words)


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
    """Print the season week by week: a column a main day where they fit, else a line each."""
    from rich.console import Console

    console = Console()
    if console.width >= TABLE_WIDTH:
        _print_table(strip, console)
    else:
        _print_weeks(strip, console)


def _print_table(strip: SeasonStrip, console: Console) -> None:
    from rich.table import Table

    table = Table(title="Season", title_justify="left", show_edge=False)
    table.add_column("week of")
    for lane in strip.lanes:
        table.add_column(lane.name)
    table.add_column("contest")
    for index, week in enumerate(strip.weeks):
        cells = ["\n  ".join(_work(strip, lane, index) or ("–",)) for lane in strip.lanes]
        kind = "" if week.kind == "normal" else f" ({week.kind})"
        mark = "› " if index == strip.this_week else ""
        table.add_row(f"{mark}{week.monday}{kind}", *cells, _contests_of(strip, index))
    console.print(table)


def _print_weeks(strip: SeasonStrip, console: Console) -> None:
    from rich.table import Table
    from rich.text import Text

    console.print(Text("Season", style="bold"))
    widest = max((len(lane.name) for lane in strip.lanes), default=0)
    for index, week in enumerate(strip.weeks):
        mark = "›" if index == strip.this_week else " "
        kind = "" if week.kind == "normal" else f", {week.kind} week"
        posts = _contests_of(strip, index)
        title = f"{mark} {week.monday.day} {week.monday:%b %Y}{kind}{posts and f' · {posts}'}"
        console.print(Text(title, style="bold"))
        lines = Table.grid(padding=(0, 2, 0, 0))
        lines.add_column(width=widest + 4, no_wrap=True)
        lines.add_column()
        for lane in strip.lanes:
            lines.add_row(f"    {lane.name}", Text(" · ".join(_work(strip, lane, index)) or "–"))
        console.print(lines)


def _contests_of(strip: SeasonStrip, week: int) -> str:
    return ", ".join(post.name for post in strip.posts if post.week == week)


def _work(strip: SeasonStrip, lane: StripLane, week: int) -> tuple[str, ...]:
    """The lift with its week of the wave, how, and what follows; nothing where the lane rests."""
    for block in lane.blocks:
        if block.week <= week < block.week + block.weeks:
            step = f" {week - block.week + 1}/{block.weeks}" if block.weeks > 1 else ""
            pin = " (pinned)" if block.is_pinned else ""
            after = [f"then {item.label}" for item in strip.after_in(week, lane.slot_key)]
            words = (f"{block.label}{step}{pin}", block.detail, *after)
            return tuple(word for word in words if word)
    return ()
