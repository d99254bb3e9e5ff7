"""Guards on what an athlete reports: pain, red flags, body mass. No diagnosis is made."""

from __future__ import annotations

import re
from dataclasses import dataclass

from heftwright.domain.dose.guards import Guard, GuardKind
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal

FAST_LOSS_RATIO_WEEK = 0.015
_RED_FLAGS = re.compile(
    r"chest|faint|black(ed)? out|dizz|numb|tingl|paralys|"
    r"\b(can.?t|cannot|could not) (move|feel|breathe|see)|\bpop(ped|ping)?\b|\btore\b|\btorn\b|"
    r"swell|swollen|headache|vision|bladder|bowel|fever|short of breath|dark urine"
)
"""Words that bypass the score (ours, cautious on purpose: a false alarm costs a question)."""


class HealthEntryError(Refusal):
    """A report that cannot be read."""


@dataclass(frozen=True, slots=True)
class PainRules:
    """The gym's own thresholds on a scale of 0–10 where higher is worse (editable).

    Parameters
    ----------
    ask_from : int
        From here the coach is asked: 4 by default.
    stop_from : int
        From here the lift stops: 6 by default.
    """

    ask_from: int = 4
    stop_from: int = 6

    def __post_init__(self) -> None:
        if not 0 < self.ask_from < self.stop_from <= 10:
            raise HealthEntryError(
                f"Pain thresholds {self.ask_from} and {self.stop_from} must rise within 1–10."
            )


def guards_on_pain(
    score_0_10: int, note: str = "", rules: PainRules | None = None
) -> tuple[Guard, ...]:
    """Guards on a pain report. Red flags in the words bypass the score; no diagnosis is made.

    Parameters
    ----------
    score_0_10 : int
        0 none … 10 worst.
    note : str
        The athlete's words.
    rules : PainRules or None
        The gym's thresholds.
    """
    rules = rules or PainRules()
    if not 0 <= score_0_10 <= 10:
        raise HealthEntryError(f"A pain score of {score_0_10} is outside 0–10.")
    if _RED_FLAGS.search(note.casefold()):
        sentence = (
            "What was reported is not for a score: stop training and see a licensed professional; "
            "in an emergency call for help at once."
        )
        return (Guard(GuardKind.RED_FLAG, is_hard=True, sentence=sentence),)
    if score_0_10 >= rules.stop_from:
        sentence = (
            f"Pain {score_0_10} of 10: stop this lift today. Pain that stays: see a licensed "
            "professional."
        )
        return (Guard(GuardKind.PAIN, is_hard=True, sentence=sentence),)
    if score_0_10 >= rules.ask_from:
        sentence = (
            f"Pain {score_0_10} of 10: go lighter, shorter or change the lift; coach decides."
        )
        return (Guard(GuardKind.PAIN, is_hard=False, sentence=sentence),)
    return ()


def guards_on_body_mass(before: Mass, now: Mass, days: int) -> tuple[Guard, ...]:
    """Flag a loss faster than 1.5 % a week (ours); the tool never proposes a cut.

    Parameters
    ----------
    before, now : Mass
        Body mass then and now.
    days : int
        Between the two, ≥ 1.
    """
    if days < 1:
        raise HealthEntryError(f"Two body masses {days} days apart give no rate: take another day.")
    loss = (1 - now.in_kg / before.in_kg) / days * 7
    if loss <= FAST_LOSS_RATIO_WEEK:
        return ()
    sentence = (
        f"Body mass falls by {100 * loss:.1f} % a week, faster than "
        f"{100 * FAST_LOSS_RATIO_WEEK:.1f} %: the coach talks to the athlete; ask a "
        "licensed professional."
    )
    return (Guard(GuardKind.FAST_LOSS, is_hard=False, sentence=sentence),)
