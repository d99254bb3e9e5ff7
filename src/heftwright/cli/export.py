"""``heftwright export``: everything entered, as one workbook that imports again."""

from __future__ import annotations

from pathlib import Path

import click

from heftwright.cli.house import gym_option, open_gym


@click.command("export")
@gym_option
@click.option("--csv", "as_csv", is_flag=True, help="A CSV file a sheet instead of one workbook.")
@click.option("--log", "with_log", is_flag=True, help="Also the whole log as log.csv.")
@click.option("--out", default=".", show_default=True, type=click.Path(path_type=Path))
def command(gym: str | None, as_csv: bool, with_log: bool, out: Path) -> None:
    """Write squad, maxes, stock, contests and timetable into the folder --out."""
    key = open_gym(gym)
    from heftwright.usecases import export
    from heftwright.usecases.actor import Actor, GymKey

    by = Actor.at_terminal()
    out.mkdir(parents=True, exist_ok=True)
    if as_csv:
        for name, text in export.export_csv_files(gym=GymKey(key), by=by).items():
            _write(out / name, text.encode())
    else:
        _write(out / f"{key}.xlsx", export.export_workbook(gym=GymKey(key), by=by))
    if with_log:
        _write(out / "log.csv", "".join(export.export_log(gym=GymKey(key), by=by)).encode())


def _write(target: Path, content: bytes) -> None:
    target.write_bytes(content)
    click.echo(f"Wrote {target}")
