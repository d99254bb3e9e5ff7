"""Finding one athlete by what the coach types: squad number, name, or a part of the name."""

from __future__ import annotations

from collections.abc import Iterable

import click

from heftwright.domain.names import holds_words, plain_letters
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.squad import Athlete


class WhichAthleteError(Refusal):
    """The words fit several athletes."""


athlete_argument = click.argument("athlete", metavar="ATHLETE")


def find_athlete(words: str, squad: Iterable[Athlete]) -> Athlete:
    """The athlete meant by a squad number, a name, or a part of a name that only one has.

    Raises
    ------
    NotFoundError
        If nobody is meant.
    WhichAthleteError
        If several are; they are listed with their numbers.
    """
    everybody = tuple(squad)
    exact = [athlete for athlete in everybody if _is_named(athlete, words)]
    found = exact or [athlete for athlete in everybody if holds_words(athlete.name, words)]
    if not found:
        raise NotFoundError(f"There is no athlete “{words}”: see `heftwright squad`.")
    if len(found) > 1:
        listed = ", ".join(f"{athlete.number} {athlete.name}" for athlete in found)
        raise WhichAthleteError(f"“{words}” fits {listed}: say the number.")
    return found[0]


def _is_named(athlete: Athlete, words: str) -> bool:
    wanted = words.strip().removeprefix("#")
    return wanted in (str(athlete.number), athlete.id) or (
        plain_letters(wanted) == plain_letters(athlete.name)
    )
