"""One way to read, put and drop everything a coach enters, by kind and key.

Audit, undo and imports work on these, so that what one can write another can put back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from heftwright.domain.catalogue import Lift
from heftwright.domain.contest import Contest, Travel
from heftwright.domain.dose.waves import WaveTemplate
from heftwright.domain.prescription.settings import CoachSettings
from heftwright.domain.squad import Athlete, ClassTime
from heftwright.domain.squad.closed import ClosedSpan
from heftwright.domain.stock import (
    Band,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    RatingOverride,
)
from heftwright.domain.strain.session import SessionEffort
from heftwright.domain.strength.bar_speed_log import BarSpeedSet
from heftwright.store import coaching_rows, contest_rows, evidence_rows, squad_rows, stock_rows
from heftwright.store.documents import from_document, to_document
from heftwright.store.evidence_rows import KeptEvidence
from heftwright.store.models import Gym
from heftwright.store.stock_rows import KitUnits


class RecordKind(StrEnum):
    """What a coach enters."""

    ATHLETE = "athlete"
    BAR = "bar"
    PLATE = "plate"
    BAND = "band"
    CHAIN = "chain"
    BLOCK = "block"
    IMPLEMENT = "implement"
    PLATFORM = "platform"
    KIT = "kit"
    CLASS_TIME = "class_time"
    CONTEST = "contest"
    EVIDENCE = "evidence"
    WAVE = "wave"
    SETTINGS = "settings"
    LIFT = "lift"
    CLOSED = "closed"
    TRAVEL = "travel"
    RATING_OVERRIDE = "rating_override"
    SESSION = "session"
    BAR_SPEED = "bar_speed"


STOCK_KINDS: dict[type[Any], RecordKind] = {
    Bar: RecordKind.BAR,
    PlatePair: RecordKind.PLATE,
    Band: RecordKind.BAND,
    Chain: RecordKind.CHAIN,
    Block: RecordKind.BLOCK,
    ImplementUnit: RecordKind.IMPLEMENT,
    Platform: RecordKind.PLATFORM,
    KitUnits: RecordKind.KIT,
}


@dataclass(frozen=True, slots=True)
class _Table:
    value_type: type[Any]
    read: Callable[[Gym, str], Any]
    write: Callable[[Gym, Any], None]
    drop: Callable[[Gym, str], None]


def _stock_table(kind: type[Any]) -> _Table:
    return _Table(
        kind,
        lambda gym, key: stock_rows.read_item(gym, kind, key),
        stock_rows.write_item,
        lambda gym, key: stock_rows.drop_item(gym, kind, key),
    )


def _setting_table(kind: type[Any]) -> _Table:
    return _Table(
        kind,
        lambda gym, key: coaching_rows.read_setting(gym, kind, key),
        coaching_rows.write_setting,
        lambda gym, key: coaching_rows.drop_setting(gym, kind, key),
    )


# In the order in which records may lean on earlier ones: entries and evidence need athletes.
_TABLES: dict[RecordKind, _Table] = {
    RecordKind.ATHLETE: _Table(
        Athlete, squad_rows.read_athlete, squad_rows.write_athlete, squad_rows.drop_athlete
    ),
    **{record: _stock_table(kind) for kind, record in STOCK_KINDS.items()},
    RecordKind.CLASS_TIME: _Table(
        ClassTime,
        squad_rows.read_class_time,
        squad_rows.write_class_time,
        squad_rows.drop_class_time,
    ),
    RecordKind.CONTEST: _Table(
        Contest, contest_rows.read_contest, contest_rows.write_contest, contest_rows.drop_contest
    ),
    RecordKind.EVIDENCE: _Table(
        KeptEvidence,
        evidence_rows.read_one_evidence,
        evidence_rows.write_evidence,
        evidence_rows.drop_evidence,
    ),
    RecordKind.WAVE: _setting_table(WaveTemplate),
    RecordKind.SETTINGS: _setting_table(CoachSettings),
    RecordKind.LIFT: _setting_table(Lift),
    RecordKind.CLOSED: _setting_table(ClosedSpan),
    RecordKind.TRAVEL: _setting_table(Travel),
    RecordKind.RATING_OVERRIDE: _setting_table(RatingOverride),
    RecordKind.SESSION: _Table(
        SessionEffort,
        coaching_rows.read_effort,
        coaching_rows.write_effort,
        coaching_rows.drop_effort,
    ),
    RecordKind.BAR_SPEED: _Table(
        BarSpeedSet,
        coaching_rows.read_speed_set,
        coaching_rows.write_speed_set,
        coaching_rows.drop_speed_set,
    ),
}


def kind_of(value: object) -> RecordKind:
    """The kind of a value."""
    return next(kind for kind, table in _TABLES.items() if type(value) is table.value_type)


def key_of(value: Any) -> str:
    """The key of a value within its kind and gym."""
    return str(value.id if isinstance(value, Athlete | Contest) else value.key)


def subject_of(kind: RecordKind, key: str) -> str:
    """How audit names it: ``"athlete/a7"``."""
    return f"{kind}/{key}"


def split_subject(subject: str) -> tuple[RecordKind, str] | None:
    """Kind and key of an audit subject, or None if it is not a record's."""
    word, _, key = subject.partition("/")
    return (RecordKind(word), key) if word in list(RecordKind) else None


def read_record(gym: Gym, kind: RecordKind, key: str) -> Any | None:
    """The value that stands, or None."""
    return _TABLES[kind].read(gym, key)


def put_record(gym: Gym, value: Any) -> None:
    """Add or change a value."""
    _TABLES[kind_of(value)].write(gym, value)


def drop_record(gym: Gym, kind: RecordKind, key: str) -> None:
    """Take a value away."""
    _TABLES[kind].drop(gym, key)


def document_of(value: Any | None) -> Any:
    """The value as a document; None for nothing."""
    return None if value is None else to_document(value)


def value_of(kind: RecordKind, document: Any) -> Any:
    """The value of a document."""
    return from_document(document, _TABLES[kind].value_type)


def in_leaning_order(subjects: list[str]) -> list[str]:
    """Subjects so that each comes after what it may lean on."""
    places = {kind.value: place for place, kind in enumerate(_TABLES)}
    return sorted(subjects, key=lambda subject: places[subject.partition("/")[0]])
