"""The import door's findings in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from heftwright.imports.findings import Problem, Question
    from heftwright.usecases.imports import Preview


def print_preview(preview: Preview) -> None:
    """What is in the files, what is wrong and where, and what must be asked."""
    for count in preview.counts:
        left = f", {count.left_out} left out" if count.left_out else ""
        waiting = f", {count.waiting} waiting for an answer" if count.waiting else ""
        plural = "" if count.good == 1 else "s"
        click.echo(f"{count.file}, {count.read_as}: {count.good} good row{plural}{left}{waiting}")
    for tally in preview.tallies:
        click.echo(f"  {tally}")
    for problem in preview.problems:
        click.echo(f"  {where(problem)}: {said_of(problem.cell, problem.sentence)}")
    for question in preview.questions:
        click.echo(f"  {where(question)}: {said_of(question.sample, question.sentence)}")
        for choice in question.choices:
            click.echo(f"      --answer '{question.key}={choice.value}'  {choice.label}")
    for column in preview.skipped:
        lifts = " or ".join(f"“{name}”" for name in column.near)
        meant = f" A lift? Head it {lifts}." if lifts else ""
        click.echo(f"  {column.file}, {column.sheet}, “{column.header}”: no known header.{meant}")


def said_of(cell: str, sentence: str) -> str:
    """The sentence, after the cell as the file has it unless that is empty or quoted in it."""
    return sentence if not cell or f"“{cell}”" in sentence else f"“{cell}”. {sentence}"


def where(finding: Problem | Question) -> str:
    """File, sheet, row and column of a finding."""
    sheet = f", sheet {finding.sheet}" if finding.sheet else ""
    row = f", row {finding.row}" if finding.row else ""
    column = f", column {finding.column}" if finding.column else ""
    return f"{finding.file}{sheet}{row}{column}"
