"""Stock: rows and domain values. One mapper, since columns bear the domain's field names."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

from django.db.models import Max, Value
from django.db.models.functions import JSONObject

from heftwright.domain.catalogue import KitKey
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ImplementUnit,
    PlatePair,
    Platform,
    Stock,
    StockError,
)
from heftwright.store import models as rows
from heftwright.store.gym_rows import plain_fields
from heftwright.store.once import once

StockValue = Bar | PlatePair | Band | Chain | Block | ImplementUnit | Platform


@dataclass(frozen=True, slots=True)
class KitUnits:
    """Units of a kit key that are not listed one by one.

    Parameters
    ----------
    key : KitKey
        Catalogue kit key such as ``"box"``.
    units : int
        How many, ≥ 0.
    """

    key: KitKey
    units: int

    def __post_init__(self) -> None:
        if self.units < 0:
            raise StockError(f"Kit “{self.key}”: units must be 0 or more.")


_ROW_OF: dict[type[Any], type[rows.StockItem]] = {
    Bar: rows.Bar,
    PlatePair: rows.Plate,
    Band: rows.Band,
    Chain: rows.Chain,
    Block: rows.Block,
    ImplementUnit: rows.ImplementUnit,
    Platform: rows.Platform,
    KitUnits: rows.KitCount,
}
_READING = tuple(field.name for field in fields(BandReading))


@once
def read_stock(gym: rows.Gym) -> Stock:
    """Everything the gym owns, in two queries: all tables as one, and the bands' readings."""
    found: dict[type[Any], list[Any]] = {kind: [] for kind in _ROW_OF}
    listed = _all_rows(gym)
    readings = _readings_of([row.pk for kind, row in listed if kind is Band])
    for kind, row in listed:
        more = {"readings": tuple(readings[row.pk])} if kind is Band else {}
        found[kind].append(kind(key=row.key, **more, **plain_fields(row, _plain(kind))))
    return Stock(
        bars=tuple(found[Bar]),
        plates=tuple(found[PlatePair]),
        bands=tuple(found[Band]),
        chains=tuple(found[Chain]),
        blocks=tuple(found[Block]),
        implements=tuple(found[ImplementUnit]),
        platforms=tuple(found[Platform]),
        kit={item.key: item.units for item in found[KitUnits]},
    )


def _all_rows(gym: rows.Gym) -> list[tuple[type[Any], rows.StockItem]]:
    """Rows of every kind in the coach's order, each kind's own columns as a document."""
    kinds = list(_ROW_OF)
    parts = [_as_documents(gym, place, kind) for place, kind in enumerate(kinds)]
    union = parts[0].union(*parts[1:], all=True)
    found = sorted(union, key=lambda line: line[:3])
    return [
        (kinds[place], _row_of(kinds[place], pk, key, document))
        for place, _position, pk, key, document in found
    ]


def _as_documents(gym: rows.Gym, place: int, kind: type[Any]) -> Any:
    model: Any = _ROW_OF[kind]
    columns = JSONObject(**{name: name for name in _plain(kind)})
    found = model.objects.filter(gym=gym).order_by()
    return found.annotate(place=Value(place), document=columns).values_list(
        "place", "position", "pk", "key", "document"
    )


def _row_of(kind: type[Any], pk: int, key: str, document: Any) -> rows.StockItem:
    """The row as the model would read it: every column through its own field."""
    model: Any = _ROW_OF[kind]
    plain = json.loads(document) if isinstance(document, str) else document
    columns = {name: model._meta.get_field(name).to_python(value) for name, value in plain.items()}
    row: rows.StockItem = model(pk=pk, key=key, **columns)
    return row


def _readings_of(bands: list[int]) -> dict[int, list[BandReading]]:
    found: dict[int, list[BandReading]] = {pk: [] for pk in bands}
    for row in rows.BandReading.objects.filter(band__in=bands) if bands else ():
        found[row.band_id].append(_reading(row))
    return found


def read_items(gym: rows.Gym, kind: type[Any]) -> tuple[Any, ...]:
    """All stock of one kind in the coach's order."""
    return tuple(_value(row, kind) for row in _found(gym, kind))


def read_item(gym: rows.Gym, kind: type[Any], key: str) -> Any | None:
    """One item, or None."""
    row = _found(gym, kind).filter(key=key).first()
    return None if row is None else _value(row, kind)


def write_item(gym: rows.Gym, item: Any) -> None:
    """Add an item at the end of its list, or change it where it stands."""
    model: Any = _ROW_OF[type(item)]
    columns = {name: getattr(item, name) for name in _plain(type(item))}
    row = model.objects.filter(gym=gym, key=item.key).first()
    if row is None:
        row = model(gym=gym, key=item.key, position=_next_position(gym, model))
    for name, value in columns.items():
        setattr(row, name, value)
    row.save()
    if isinstance(item, Band):
        _write_readings(row, item)


def drop_item(gym: rows.Gym, kind: type[Any], key: str) -> None:
    """Take an item out of the stock."""
    model: Any = _ROW_OF[kind]
    model.objects.filter(gym=gym, key=key).delete()


def put_in_order(gym: rows.Gym, kind: type[Any], keys: tuple[str, ...]) -> None:
    """Give the listed items their places in the coach's list."""
    model: Any = _ROW_OF[kind]
    for position, key in enumerate(keys):
        model.objects.filter(gym=gym, key=key).update(position=position)


def _found(gym: rows.Gym, kind: type[Any]) -> Any:
    model: Any = _ROW_OF[kind]
    found = model.objects.filter(gym=gym)
    return found.prefetch_related("reading_rows") if kind is Band else found


def _plain(kind: type[Any]) -> tuple[str, ...]:
    names = (field.name for field in fields(kind))
    return tuple(name for name in names if name not in ("key", "readings"))


def _value(row: Any, kind: type[Any]) -> Any:
    build: Callable[..., Any] = kind
    if kind is Band:
        readings = tuple(_reading(reading) for reading in row.reading_rows.all())
        return build(key=row.key, readings=readings, **plain_fields(row, _plain(kind)))
    return build(key=row.key, **plain_fields(row, _plain(kind)))


def _reading(row: rows.BandReading) -> BandReading:
    return BandReading(**plain_fields(row, _READING))


def _next_position(gym: rows.Gym, model: Any) -> int:
    top = model.objects.filter(gym=gym).aggregate(top=Max("position"))["top"]
    return 0 if top is None else int(top) + 1


def _write_readings(row: rows.Band, band: Band) -> None:
    row.reading_rows.all().delete()
    rows.BandReading.objects.bulk_create(
        rows.BandReading(
            band=row,
            position=position,
            **{name: getattr(reading, name) for name in _READING},
        )
        for position, reading in enumerate(band.readings)
    )
