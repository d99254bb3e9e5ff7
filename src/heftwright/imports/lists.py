"""Cells that hold several things, split by semicolons; ``\\;`` is a semicolon within one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from heftwright.domain.mass import parse_thousandths
from heftwright.domain.squad import AthleteError, Restriction
from heftwright.imports.findings import CellError

FULL_WEIGHT = 1000
_RESTRICTION = re.compile(
    r"(?P<tag>[^:]+?)(?:\s+from\s+(?P<since>[0-9-]{10}))?"
    r"(?:\s+until\s+(?P<until>[0-9-]{10}|cleared))?"
    r"(?:\s+cleared\s+(?P<cleared>[0-9-]{10})\s+by\s+(?P<by>[^:]+?))?(?:\s*:\s*(?P<note>.*))?",
    re.DOTALL,
)
_NUMBER_LAST = re.compile(r"(.*\S)\s+([0-9][0-9.]*)")


def split_list(text: str) -> list[str]:
    """The parts of a list, trimmed, empty ones dropped."""
    parts = [""]
    at = 0
    while at < len(text):
        if text[at] == "\\" and text[at + 1 : at + 2] in ("\\", ";"):
            parts[-1] += text[at + 1]
            at += 2
        elif text[at] == ";":
            parts.append("")
            at += 1
        else:
            parts[-1] += text[at]
            at += 1
    return [part.strip() for part in parts if part.strip()]


def join_list(parts: Iterable[str]) -> str:
    """The opposite of `split_list`."""
    return "; ".join(part.replace("\\", "\\\\").replace(";", "\\;") for part in parts)


def read_weights(text: str) -> dict[str, int]:
    """Names with weights [thousandths]: ``lockout: 0.8; grip`` has grip in full (1).

    Raises
    ------
    CellError
        If a name stands twice or a weight is outside the number grammar.
    """
    found: dict[str, int] = {}
    for part in split_list(text):
        name, weight = _name_and_weight(part)
        if name in found:
            raise CellError(f"“{name}” stands twice in the cell: keep one.")
        found[name] = weight
    return found


def _name_and_weight(part: str) -> tuple[str, int]:
    name, colon, weight = part.rpartition(":")
    if colon and name.strip():
        return name.strip(), parse_thousandths(weight.strip())
    if match := _NUMBER_LAST.fullmatch(part):
        return match[1], parse_thousandths(match[2])
    return part, FULL_WEIGHT


def read_restrictions(text: str, today: date) -> tuple[Restriction, ...]:
    """Restrictions: ``overhead from 2026-10-01 until 2026-12-20: coach's words; deadlift``.

    Without ``from`` they start today; ``until`` is the day to ask again on: they stay off until
    ``cleared 2026-12-22 by Head coach`` stands behind it.

    Raises
    ------
    CellError
        If a part cannot be read so.
    """
    return tuple(_restriction(part, today) for part in split_list(text))


def _restriction(part: str, today: date) -> Restriction:
    match = _RESTRICTION.fullmatch(part)
    if match is None or re.search(r"\b(from [0-9]|until\b|cleared [0-9])", match["tag"]):
        raise CellError(f"“{part}” is not a restriction: write it like overhead until 2026-12-20.")
    since = _day(match["since"]) if match["since"] else today
    until = _day(match["until"]) if match["until"] not in (None, "cleared") else None
    if until is not None and until < since:
        raise CellError(f"“{part}” ends before it starts: check the dates.")
    cleared = _day(match["cleared"]) if match["cleared"] else None
    try:
        return Restriction(
            match["tag"].strip(), since, until, (match["note"] or "").strip(), cleared,
            (match["by"] or "").strip(),
        )  # fmt: skip
    except AthleteError as error:
        raise CellError(str(error)) from None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CellError(f"“{text}” is not a date: write year-month-day, 2026-11-25.") from None


def restriction_text(rule: Restriction, tag: str) -> str:
    """A restriction as `read_restrictions` takes it."""
    until = f" until {rule.until.isoformat()}" if rule.until else ""
    if rule.cleared_on is not None:
        by = " ".join(rule.cleared_by.replace(":", " ").replace(";", " ").split())
        until += f" cleared {rule.cleared_on.isoformat()} by {by or 'the coach'}"
    note = f": {rule.note}" if rule.note else ""
    return f"{tag} from {rule.since.isoformat()}{until}{note}"
