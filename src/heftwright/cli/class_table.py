"""The class sheet in the terminal."""

from __future__ import annotations

from rich.console import Console, Group, RenderableType
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.pictures.sleeve_words import sleeve_text


def print_class_sheet(sheet: ClassSheet, console: Console) -> None:
    """Print who lifts where, in what order, with what on the bar."""
    console.print(_head(sheet))
    for platform in sheet.platforms:
        console.print(_platform(platform))
    for person in sheet.unplaced:
        console.print(Text(f"No bar: {person.number} {person.name}. {person.why}", style="bold"))
    for title, lines in (("After the main lift", sheet.rep_work), ("Floor", sheet.floor_words)):
        if lines:
            console.print(Text(title, style="bold"))
            for line in lines:
                console.print(f"  {line}", highlight=False)
    console.print(Text(sheet.caution, style="italic"))
    console.print(
        f"Plan {sheet.plan_version}, made {sheet.planned_at:%Y-%m-%d %H:%M} UTC. "
        "`heftwright why ATHLETE` takes a load apart.",
        highlight=False,
    )


def _head(sheet: ClassSheet) -> RenderableType:
    title = Text(f"{sheet.gym} · {sheet.on:%A %d %B %Y}, {sheet.starts_at:%H:%M}", style="bold")
    lift = Text(f"{sheet.lift_name} · {sheet.wave_words}", style="bold")
    lines: list[RenderableType] = [title, Text(f"{sheet.slot_name} · {sheet.minutes} min"), lift]
    lines += [Text(line) for line in sheet.why[:3]]
    return Panel(Group(*lines), expand=False)


def _platform(platform: PlatformSheet) -> RenderableType:
    rig = f" · {platform.rig}" if platform.rig else ""
    done = f"done in {platform.finish_min:.0f} min"
    title = f"Platform {platform.key} · {platform.bar_name}{rig} · {done}"
    table = Table(title=title, title_justify="left", title_style="bold", show_edge=False)
    for name, justify in (
        ("turn", "right"), ("athlete", "left"), ("load", "right"), ("top", "right"),
        ("sets", "left"), ("one side, inner first, and the change", "left"),
    ):  # fmt: skip
        table.add_column(name, justify=justify)  # type: ignore[arg-type]
    for turn, line in enumerate(platform.lifters, start=1):
        table.add_row(*_row(turn, line))
    return table


def _row(turn: int, line: LifterLine) -> tuple[str, ...]:
    mark = " ~" if line.is_estimated else ""
    top = f"{line.top_kg:.0f} ± {line.top_sd_kg:.0f} kg" if line.rig else "–"
    minor = " (under 18)" if line.is_minor else ""
    sleeve = sleeve_text(line.sleeve) if line.sleeve else "–"
    return (
        str(turn), f"{line.number} {line.name}{minor}", f"{line.load.shown(line.unit)}{mark}", top,
        str(line.scheme), sleeve,
    )  # fmt: skip


def print_why(line: LifterLine, platform: PlatformSheet, console: Console) -> None:
    """Print one line taken apart."""
    console.print(
        Text(
            f"{line.number} {line.name}: {line.load.shown(line.unit)}, {line.scheme}, "
            f"{line.lift_name}, platform {platform.key}",
            style="bold",
        )
    )
    for sentence in line.reasons:
        console.print(f"  {sentence}", highlight=False)
    if line.ladder:
        steps = ", ".join(mass.shown(line.unit) for mass in line.ladder)
        console.print(f"  Work up: {steps}.", highlight=False)
    for caution in line.cautions:
        console.print(Text(f"  ! {caution}", style="bold"))
