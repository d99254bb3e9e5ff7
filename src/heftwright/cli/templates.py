"""``heftwright templates``: an empty workbook to fill in."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("templates")
@click.option("--lb", is_flag=True, help="Columns in pounds and inches.")
@click.option("--out", default="heftwright-template.xlsx", type=click.Path(path_type=Path))
def command(lb: bool, out: Path) -> None:
    """Write an empty workbook with every sheet, an example row each, and notes."""
    from heftwright.domain.mass import MassUnit
    from heftwright.imports.templates import template_workbook

    out.write_bytes(template_workbook(MassUnit.LB if lb else MassUnit.KG))
    click.echo(f"Wrote {out}: fill it in, then `heftwright import {out}`.")
