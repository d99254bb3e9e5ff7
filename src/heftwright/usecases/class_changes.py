"""What the plan of a class leans on and somebody changed since: said, so nobody lifts an old one.

A limb hurt at noon, a band retired, a bar's limit lowered, a max accepted: the plan made in the
morning knows nothing of them until it is planned again.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heftwright.domain.sheet.planned import PlannedClass
from heftwright.domain.squad import AthleteId
from heftwright.store import records
from heftwright.store.gym_rows import find_gym
from heftwright.store.models import AuditRow
from heftwright.store.records import RecordKind
from heftwright.usecases import clock
from heftwright.usecases.actor import GymKey
from heftwright.usecases.squad import get_squad

MOST_LOOKED_AT = 500
MOST_SAID = 6
_NAMED = {
    RecordKind.BAR: "bar",
    RecordKind.PLATE: "plates",
    RecordKind.BAND: "band",
    RecordKind.CHAIN: "chain",
    RecordKind.BLOCK: "block",
    RecordKind.IMPLEMENT: "implement",
    RecordKind.PLATFORM: "platform",
    RecordKind.LIFT: "lift",
}
_ALL_OF_A_KIND = {
    RecordKind.KIT: "the kit",
    RecordKind.CLASS_TIME: "the timetable",
    RecordKind.CONTEST: "the contests",
    RecordKind.WAVE: "the waves",
    RecordKind.SETTINGS: "the load settings",
    RecordKind.CLOSED: "the closed days",
    RecordKind.TRAVEL: "the travel days",
    RecordKind.RATING_OVERRIDE: "a word over a maker's limit",
}
_ERASED = "a record that was erased"
_PLAIN = {"season": "the season", "floor_terms": "how the floor is planned"}


def get_changed_since(*, gym: GymKey, planned: PlannedClass) -> tuple[str, ...]:
    """What a plan leans on and was changed after it was made, in words, latest first.

    Parameters
    ----------
    gym : GymKey
        Whose.
    planned : PlannedClass
        The plan as it stands; nothing is said of a past class.

    Returns
    -------
    tuple of str
        For example ``("what Ines may do", "a max of Bo", "band “Grey”", "the season")``, each
        once; at most six, then how many more.
    """
    sheet = planned.sheet
    if sheet.on < clock.today(gym):
        return ()
    rows = AuditRow.objects.filter(gym=find_gym(gym), at__gt=sheet.planned_at).order_by(
        "-at", "-pk"
    )
    found = list(rows.values_list("subject", "before", "after")[:MOST_LOOKED_AT])
    if not found:
        return ()
    names = {item.id: item.name for item in get_squad(gym=gym)}
    here = frozenset(planned.present)
    said = (_words(subject, before, after, here, names) for subject, before, after in found)
    return _shortened(tuple(dict.fromkeys(words for words in said if words)))


def _words(
    subject: str,
    before: Any,
    after: Any,
    here: frozenset[AthleteId],
    names: Mapping[AthleteId, str],
) -> str:
    record = records.split_subject(subject)
    if record is None:
        return _PLAIN.get(subject, "")
    kind, key = record
    if before is None and after is None:
        return _ERASED
    if kind is RecordKind.EVIDENCE:
        lifter = AthleteId((after or before)["evidence"]["athlete"])
        return f"a max of {names.get(lifter, lifter)}" if lifter in here else ""
    if kind is RecordKind.ATHLETE:
        lifter = AthleteId(key)
        name = names.get(lifter) or _name_in(before) or key
        return _of_somebody(name, before, after) if lifter in here else ""
    if kind in _NAMED:
        return f"{_NAMED[kind]} “{_name_in(after or before) or key}”"
    return _ALL_OF_A_KIND.get(kind, "")


def _of_somebody(name: str, before: Any, after: Any) -> str:
    has_both = before is not None and after is not None
    if has_both and before["restrictions"] != after["restrictions"]:
        return f"what {name} may do"
    return name


def _name_in(document: Any) -> str:
    return str(document.get("name", "")) if isinstance(document, dict) else ""


def _shortened(said: tuple[str, ...]) -> tuple[str, ...]:
    if len(said) <= MOST_SAID:
        return said
    return (*said[:MOST_SAID], f"{len(said) - MOST_SAID} more")
