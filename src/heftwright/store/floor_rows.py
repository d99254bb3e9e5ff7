"""The floor's own documents: the gym's terms, wishes, the clock of a running class, a draft."""

from __future__ import annotations

from typing import Any, TypeVar

from heftwright.domain.floor.terms import FloorTerms, FloorWish
from heftwright.domain.sheet.live import ClassClock
from heftwright.domain.sheet.planned import FloorDraft
from heftwright.store import models as rows
from heftwright.store.documents import from_document, to_document

T = TypeVar("T")
_KIND_OF: dict[type[Any], str] = {
    FloorTerms: "floor_terms",
    FloorWish: "floor_wish",
    ClassClock: "class_clock",
    FloorDraft: "floor_draft",
}


def read_one(gym: rows.Gym, kind: type[T], key: str) -> T | None:
    """The document under a key, or None."""
    row = _rows(gym, kind).filter(key=key).first()
    return None if row is None else from_document(row.document, kind)


def read_all(gym: rows.Gym, kind: type[T]) -> tuple[T, ...]:
    """Every document of a kind, in the order of entering."""
    return tuple(from_document(row.document, kind) for row in _rows(gym, kind).order_by("pk"))


def write(gym: rows.Gym, value: Any) -> None:
    """Keep a document under its own key."""
    rows.CoachSetting.objects.update_or_create(
        gym=gym, kind=_KIND_OF[type(value)], key=value.key,
        defaults={"document": to_document(value)},
    )  # fmt: skip


def drop(gym: rows.Gym, kind: type[Any], key: str) -> None:
    """Take a document away; nothing where there is none."""
    _rows(gym, kind).filter(key=key).delete()


def _rows(gym: rows.Gym, kind: type[Any]) -> Any:
    return rows.CoachSetting.objects.filter(gym=gym, kind=_KIND_OF[kind])
