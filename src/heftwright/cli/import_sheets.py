"""``heftwright import FILES``: preview spreadsheets, and accept them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from heftwright.cli.findings import print_preview
from heftwright.cli.house import gym_option, json_option, open_gym, say_json
from heftwright.domain.refusal import NotFoundError, Refusal

if TYPE_CHECKING:
    from heftwright.imports.findings import Question
    from heftwright.usecases.imports import Preview


class NothingToSaveError(Refusal):
    """Files of which nothing would be saved."""


@click.command("import")
@click.argument("files", nargs=-1, required=True, type=click.Path(dir_okay=False, path_type=Path))
@gym_option
@json_option
@click.option("--answer", "answers", multiple=True, metavar="KEY=VALUE", help="Answer a question.")
@click.option("--accept", is_flag=True, help="Save what is good; rows that wait are left out.")
def command(
    files: tuple[Path, ...],
    gym: str | None,
    as_json: bool,
    answers: tuple[str, ...],
    accept: bool,
) -> None:
    """Read CSV or XLSX FILES and say what is in them; nothing is saved without --accept."""
    if missing := [str(path) for path in files if not path.exists()]:
        raise NotFoundError(f"There is no file “{missing[0]}”: check the name and the folder.")
    key = open_gym(gym)
    from heftwright.usecases import imports
    from heftwright.usecases.actor import Actor, GymKey

    by, told = Actor.at_terminal(), _answers(answers)
    uploads = [imports.UploadedFile(path.name, path.read_bytes()) for path in files]
    preview = imports.preview_upload(gym=GymKey(key), by=by, files=uploads, answers=told)
    _check_answers(preview, told)
    say_json(preview) if as_json else print_preview(preview)
    if preview.is_known:
        click.echo("No change: the gym knows all of it already.", err=as_json)
        return
    if accept and preview.has_something_to_save:
        line = imports.accept_import(
            gym=GymKey(key), by=by, files=uploads, answers=told,
            was_seen=imports.preview_mark(preview), leave_waiting_out=True,
        )  # fmt: skip
        click.echo(
            f"Accepted as import {line.key}: {line.records} records. The desk's Import page takes "
            "it back within 30 days.",
            err=as_json,
        )
        return
    if accept or not preview.records.count:
        raise NothingToSaveError(_nothing_words(preview))
    if not as_json:
        click.echo(_next_step(preview))


def _next_step(preview: Preview) -> str:
    if preview.has_something_to_save:
        return "Nothing is saved yet. Add --accept to save the good rows."
    return f"{_nothing_words(preview)} What is good in them is known already."


def _answers(words: tuple[str, ...]) -> dict[str, str]:
    found = {}
    for word in words:
        key, mark, value = word.rpartition("=")
        if not mark:
            raise click.BadParameter(f"“{word}” is not KEY=VALUE.")
        found[key] = value
    return found


def _check_answers(preview: Preview, told: dict[str, str]) -> None:
    """Refuse an answer that nothing asked for, before anything is said or saved."""
    if not preview.unused_answers:
        return
    key = preview.unused_answers[0]
    open_keys = ", ".join(f"{one.key} ({_values_of(one)})" for one in preview.questions)
    raise click.UsageError(
        f"No question of these files takes the answer “{key}={told[key]}”. Open questions: "
        f"{open_keys or 'none'}."
    )


def _values_of(question: Question) -> str:
    return " or ".join(choice.value for choice in question.choices)


def _nothing_words(preview: Preview) -> str:
    """Why there is nothing to save, and what would help."""
    said = "There is nothing to save in these files"
    if preview.questions:
        return f"{said} before the questions are answered: add --answer as shown."
    if preview.problems:
        return f"{said}: see the problems named."
    return f"{said}: no row under the headers was filled in."
