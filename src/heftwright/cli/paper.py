"""``heftwright paper``: tonight's class sheet as a PDF."""

from __future__ import annotations

from pathlib import Path

import click

from heftwright.cli.house import gym_option, open_gym


@click.command("paper")
@gym_option
@click.option("--letter", is_flag=True, help="US Letter instead of A4.")
@click.option("--out", default=".", show_default=True, type=click.Path(path_type=Path))
def command(gym: str | None, letter: bool, out: Path) -> None:
    """Write a PDF of every planned class of tonight, or of the next day that has one."""
    key = open_gym(gym)
    from heftwright.domain.refusal import NotFoundError
    from heftwright.paper.class_sheet import class_sheet_pdf
    from heftwright.usecases import classes
    from heftwright.usecases.actor import GymKey

    view = classes.get_today(gym=GymKey(key))
    planned = [item for item in view.classes if item.plan_version]
    if not planned:
        raise NotFoundError("No class is planned yet: `heftwright tonight` plans it.")
    out.mkdir(parents=True, exist_ok=True)
    for item in planned:
        sheet = classes.get_class_sheet(gym=GymKey(key), class_key=item.class_time.key, on=item.on)
        target = out / f"{item.on}-{item.class_time.key}.pdf"
        target.write_bytes(class_sheet_pdf(sheet, paper="letter" if letter else "a4"))
        click.echo(f"Wrote {target}")
