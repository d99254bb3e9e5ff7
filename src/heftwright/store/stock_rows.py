"""Stock: rows and domain values. One mapper, since columns bear the domain's field names."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

from django.db.models import Max

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


def read_stock(gym: rows.Gym) -> Stock:
    """Everything the gym owns, in nine queries."""
    return Stock(
        bars=read_items(gym, Bar),
        plates=read_items(gym, PlatePair),
        bands=read_items(gym, Band),
        chains=read_items(gym, Chain),
        blocks=read_items(gym, Block),
        implements=read_items(gym, ImplementUnit),
        platforms=read_items(gym, Platform),
        kit={item.key: item.units for item in read_items(gym, KitUnits)},
    )


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
