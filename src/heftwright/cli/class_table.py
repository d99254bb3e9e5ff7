"""The class sheet in the terminal."""

from __future__ import annotations

from datetime import date
from textwrap import wrap

from rich.console import Console, Group, RenderableType
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from heftwright.domain.sheet import ClassSheet, LifterLine, PlatformSheet
from heftwright.pictures.sleeve_words import sleeve_text

_TIED = "\N{NO-BREAK SPACE}×\N{NO-BREAK SPACE}"


def print_class_sheet(sheet: ClassSheet, console: Console, today: date) -> None:
    """Print who lifts where, in what order, with what on the bar; and how far off the day is."""
    console.print(_head(sheet, today))
    for platform in sheet.platforms:
        console.print(_platform(platform))
    for person in sheet.unplaced:
        console.print(Text(f"No bar: {person.number} {person.name}. {person.why}", style="bold"))
    for title, lines in (("After the main lift", sheet.rep_work), ("Floor", sheet.floor_words)):
        if lines:
            console.print(Text(title, style="bold"))
            for line in lines:
                console.print(f"  {line}", highlight=False)
    if any(line.is_estimated for platform in sheet.platforms for line in platform.lifters):
        console.print("~ from an estimated max.", highlight=False)
    console.print(Text(sheet.caution, style="italic"))
    console.print(
        f"Plan {sheet.plan_version}, made {sheet.planned_at:%Y-%m-%d %H:%M}. "
        "`heftwright why ATHLETE` takes a load apart.",
        highlight=False,
    )


def day_words(on: date, today: date) -> str:
    """How far off a day is: "today", "tomorrow", "in 5 days", "3 days ago"."""
    days = (on - today).days
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}
    return near.get(days) or (f"in {days} days" if days > 0 else f"{-days} days ago")


def _head(sheet: ClassSheet, today: date) -> RenderableType:
    when = f"{sheet.on:%A %d %B %Y}, {sheet.starts_at:%H:%M}"
    title = Text(f"{sheet.gym} · {day_words(sheet.on, today)}, {when}", style="bold")
    lift = Text(f"{sheet.lift_name} · {sheet.wave_words}", style="bold")
    lines: list[RenderableType] = [title, Text(f"{sheet.slot_name} · {sheet.minutes} min"), lift]
    lines += [Text(line) for line in sheet.why[:3]]
    return Panel(Group(*lines), expand=False)


def _platform(platform: PlatformSheet) -> RenderableType:
    rig = f" · {platform.rig}" if platform.rig else ""
    done = f"done in {platform.finish_min:.0f} min"
    title = f"Platform {platform.key} · {platform.bar_name}{rig} · {done}"
    table = Table(title=title, title_justify="left", title_style="bold", show_edge=False)
    is_rising = any(line.is_work_up for line in platform.lifters)
    for name, justify in _RISING_COLUMNS if is_rising else _COLUMNS:
        table.add_column(name, justify=justify)  # type: ignore[arg-type]
    for turn, line in enumerate(platform.lifters, start=1):
        table.add_row(*_who(turn, line), *((_steps(line),) if is_rising else _sets(platform, line)))
    return table


_COLUMNS = (
    ("turn", "right"), ("athlete", "left"), ("load", "right"), ("top", "right"),
    ("sets", "left"), ("one side, inner first, and the change", "left"),
)  # fmt: skip
_RISING_COLUMNS = (
    ("turn", "right"), ("athlete", "left"), ("work up, load × reps; one side of the last", "left"),
)  # fmt: skip
_STEPS_WIDE = 42
FROM_SET_2 = "from set 2:"


def _who(turn: int, line: LifterLine) -> tuple[str, ...]:
    minor = " (under 18)" if line.is_minor else ""
    return str(turn), f"{line.number} {line.name}{minor}"


def _sets(platform: PlatformSheet, line: LifterLine) -> tuple[str, ...]:
    mark = " ~" if line.is_estimated else ""
    load = f"{line.load.shown(line.unit)}{mark}"
    top = f"{line.top_kg:.0f} ± {line.top_sd_kg:.0f} kg" if line.rig else "–"
    when = FROM_SET_2 if platform.is_first_on_empty_bar(line) else ""
    side = sleeve_text(line.sleeve, when=f"{when} ".lstrip()) if line.sleeve else "–"
    return load, top, str(line.scheme), side


def _steps(line: LifterLine) -> Text:
    mark = " ~" if line.is_estimated else ""
    words = steps_words(line) if line.is_work_up else f"{line.load.shown(line.unit)}, {line.scheme}"
    tied = f"{words}{mark}".replace(" × ", _TIED).replace(" kg", "\N{NO-BREAK SPACE}kg")
    rows = [*wrap(tied, _STEPS_WIDE), _one_side(line)]
    text = Text("\n".join(rows).replace("\N{NO-BREAK SPACE}", " "))
    text.highlight_regex(r"[0-9.]+ (kg|lb)( × [0-9]+)?", "bold")
    return text


def steps_words(line: LifterLine) -> str:
    """The work-up in one line, the top set last and with its unit: ``70 × 5, … 175 kg × 6``."""
    steps = [
        (line.load_of_set(number).shown(line.unit), line.reps_of_set(number))
        for number in range(1, line.sets + 1)
    ]
    below = [f"{load.partition(' ')[0]} × {reps}" for load, reps in steps[:-1]]
    return ", ".join([*below, f"{steps[-1][0]} × {steps[-1][1]}"])


def _one_side(line: LifterLine) -> str:
    if line.sleeve is None:
        return "–"
    stack = "│".join(plate.label for plate in line.sleeve.plates) or "bar only"
    return f"▐ {stack} ▌ a side"


def print_why(line: LifterLine, platform: PlatformSheet, console: Console) -> None:
    """Print one line taken apart."""
    console.print(
        Text(
            f"{line.number} {line.name}: {line.load.shown(line.unit)}, {line.work_words}, "
            f"{line.lift_name}, platform {platform.key}",
            style="bold",
        )
    )
    for sentence in line.reasons:
        console.print(f"  {sentence}", highlight=False)
    if line.ladder:
        console.print(f"  Work up: {steps_words(line)}.", highlight=False)
    for note in line.notes:
        console.print(f"  {note}", highlight=False)
    for caution in line.cautions:
        console.print(Text(f"  ! {caution}", style="bold"))
