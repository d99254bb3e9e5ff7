"""``heftwright tonight``: plan and print tonight's class sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

import click

from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.sheet import ClassSheet

MOST_DAYS_AWAY = 366


@click.command("tonight")
@gym_option
@json_option
@click.option("--on", "on", metavar="DATE", help="Another day, as 2026-11-30.")
@click.option("--class", "class_key", metavar="CLASS", help="Which class of the day.")
@click.option("--again", is_flag=True, help="Plan again even if there is a plan.")
def command(
    gym: str | None, as_json: bool, on: str | None, class_key: str | None, again: bool
) -> None:
    """Plan and print the class sheet of tonight, or of the next day that has a class."""
    key = open_gym(gym)
    for at, sheet in enumerate(_sheets(key, on, class_key, again)):
        if as_json:
            say_json(sheet)
        else:
            _print(key, sheet, is_first=at == 0 and on is None)
            _print_absences(key, sheet)
            _print_changes(key, sheet)


def _print(gym_key: str, sheet: ClassSheet, *, is_first: bool) -> None:
    from rich.console import Console

    from heftwright.cli.class_table import day_words, print_class_sheet
    from heftwright.usecases import clock
    from heftwright.usecases.actor import GymKey

    today = clock.today(GymKey(gym_key))
    if is_first and sheet.on != today:
        when = f"{day_words(sheet.on, today)}, {sheet.on:%A %d %B}"
        click.echo(f"No class today, {today:%A %d %B}. The next one is {when}.")
    print_class_sheet(sheet, Console(), today)


def _print_absences(gym_key: str, sheet: ClassSheet) -> None:
    from heftwright.usecases.absences import get_absences
    from heftwright.usecases.actor import GymKey

    found = get_absences(gym=GymKey(gym_key), class_key=sheet.class_key, on=sheet.on)
    for one in found:
        click.echo(f"Away: {one.why}: {', '.join(one.names)}.")


def _print_changes(gym_key: str, sheet: ClassSheet) -> None:
    from heftwright.usecases.actor import GymKey
    from heftwright.usecases.class_changes import get_changed_since
    from heftwright.usecases.classes import get_planned_class

    gym = GymKey(gym_key)
    planned = get_planned_class(gym=gym, class_key=sheet.class_key, on=sheet.on)
    if found := get_changed_since(gym=gym, planned=planned):
        click.echo(
            f"Changed since this plan was made: {', '.join(found)}. Take it in with "
            "`heftwright tonight --again`."
        )


def read_day(text: str) -> date:
    """An ISO date from the command line."""
    try:
        if not re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError(text)
        return date.fromisoformat(text)
    except ValueError:
        raise click.BadParameter(f"“{text}” is not a date: write it like 2026-11-30.") from None


def _near(day: date, from_day: date | None) -> date:
    """The day, unless it is so far away that it must be a slip of the pen."""
    if from_day is not None and abs(day - from_day).days > MOST_DAYS_AWAY:
        raise click.BadParameter(f"{day} is more than a year away: check the date.")
    return day


def _sheets(
    gym_key: str, on: str | None, class_key: str | None, again: bool
) -> Iterator[ClassSheet]:
    from heftwright.domain.refusal import NotFoundError
    from heftwright.usecases import classes, clock
    from heftwright.usecases.actor import Actor, GymKey
    from heftwright.usecases.timetable import get_timetable

    gym = GymKey(gym_key)
    view = classes.get_today(gym=gym)
    day = _near(read_day(on), view.day) if on else view.day
    if day is None:
        raise NotFoundError("The timetable has no classes yet: import or enter them first.")
    keys = [item.key for item in get_timetable(gym=gym).on(day)]
    keys = [key for key in keys if class_key in (None, key)]
    if not keys:
        which = f"class “{class_key}”" if class_key else "class"
        raise NotFoundError(f"There is no {which} on {day:%A} {day.day} {day:%B %Y}.")
    for key in keys:
        has_plan = classes.get_class_version(gym=gym, class_key=key, on=day) > 0
        is_past = day < clock.today(gym)
        if is_past and not has_plan:
            raise NotFoundError(f"The class {key} on {day} was not planned then: nothing to show.")
        if has_plan and (is_past or not again):
            yield classes.get_class_sheet(gym=gym, class_key=key, on=day)
        else:
            yield classes.plan_class(gym=gym, class_key=key, on=day, by=Actor.at_terminal())
