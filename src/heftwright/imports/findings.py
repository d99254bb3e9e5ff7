"""What a preview has to say about a file: problems, questions, what was skipped."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from heftwright.domain.refusal import Refusal


class CellError(Refusal):
    """A cell that cannot be read as its column wants.

    Parameters
    ----------
    sentence : str
        What is wrong and what to do.
    column : str
        Key of the column, where the raiser knows it and the catcher does not.
    """

    def __init__(self, sentence: str, column: str = "") -> None:
        super().__init__(sentence)
        self.column = column


class WaitingError(Refusal):
    """A cell that waits for the coach's answer to a question already asked."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands.

    Parameters
    ----------
    file, sheet : str
        The file's name; the tab's name, or the sheet's title for CSV.
    row : int
        As the spreadsheet counts it, 1-based; 0 for the file or sheet as a whole.
    column : str
        Letter and header, ``"C, Max (kg)"``; empty for the whole row.
    """

    file: str
    sheet: str = ""
    row: int = 0
    column: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """Something wrong, in words for the coach.

    Parameters
    ----------
    file, sheet, row, column
        Where; see `Place`.
    cell : str
        The cell as the file has it.
    sentence : str
        What is wrong and what to do.
    is_blocking : bool
        Whether the row (or sheet, or file) is left out because of it.
    """

    file: str
    sheet: str
    row: int
    column: str
    cell: str
    sentence: str
    is_blocking: bool = True


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: the value to send back and the words for it."""

    value: str
    label: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something only the coach knows. Rows wait until it is answered.

    Parameters
    ----------
    key : str
        Give it back with the chosen value in ``answers`` of a new preview.
    file, sheet, row, column
        Where; row 0 where a whole column asks.
    sentence : str
        The question.
    choices : tuple of Choice
        The answers that can be given.
    sample : str
        The first cell that raised it.
    """

    key: str
    file: str
    sheet: str
    row: int
    column: str
    sentence: str
    choices: tuple[Choice, ...]
    sample: str = ""


@dataclass(frozen=True, slots=True)
class SkippedColumn:
    """A column that was not read, because no sheet of Heftwright knows its header.

    Parameters
    ----------
    file, sheet, column, header : str
        Where it stands and what it is headed.
    near : tuple of str
        The lifts that its header looks like, where lifts may stand.
    """

    file: str
    sheet: str
    column: str
    header: str
    near: tuple[str, ...] = ()


@dataclass(slots=True)
class Findings:
    """Collects while files are read; knows the answers already given."""

    answers: Mapping[str, str]
    problems: list[Problem] = field(default_factory=list)
    questions: dict[str, Question] = field(default_factory=dict)
    skipped: list[SkippedColumn] = field(default_factory=list)
    taken: set[str] = field(default_factory=set)
    _named: set[Problem] = field(default_factory=set)

    def name(self, place: Place, cell: str, sentence: str, *, is_blocking: bool = True) -> None:
        """Note a problem, once."""
        where = (place.file, place.sheet, place.row, place.column)
        problem = Problem(*where, cell, sentence, is_blocking)
        if problem not in self._named:
            self._named.add(problem)
            self.problems.append(problem)

    def ask(
        self, key: str, place: Place, sentence: str, choices: tuple[Choice, ...], sample: str = ""
    ) -> str:
        """The answer already given.

        Raises
        ------
        WaitingError
            If there is none yet; the question is then kept, once for each key.
        """
        answer = self.answers.get(key, "")
        if answer in {choice.value for choice in choices}:
            self.taken.add(key)
            return answer
        question = Question(
            key, place.file, place.sheet, place.row, place.column, sentence, choices, sample
        )
        self.questions.setdefault(key, question)
        raise WaitingError(sentence)


def nearest(text: str, names: tuple[str, ...], count: int = 3) -> tuple[str, ...]:
    """Names that look most like a text, best first; none when nothing is near.

    One to be offered by itself must be nearer than one of several to pick from.
    """
    from difflib import get_close_matches

    folded = {name.casefold(): name for name in names}
    found = get_close_matches(
        text.casefold(), list(folded), n=count, cutoff=0.72 if count == 1 else 0.55
    )
    return tuple(folded[name] for name in found)
