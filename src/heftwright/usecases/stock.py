"""The stock: everything the gym owns, item by item."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import KitKey
from heftwright.domain.refusal import Refusal
from heftwright.domain.stock import Band, BandReading, Stock
from heftwright.store import stock_rows
from heftwright.store.gym_rows import find_gym
from heftwright.store.records import STOCK_KINDS, RecordKind
from heftwright.store.stock_rows import KitUnits, StockValue
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.changes import change, no_record, verb
from heftwright.usecases.permissions import Right

__all__ = [
    "KitUnits",
    "RecordKind",
    "StockListError",
    "StockValue",
    "add_band_reading",
    "add_item",
    "change_item",
    "get_item",
    "get_stock",
    "remove_item",
    "replace_stock",
    "set_kit",
    "stock_items",
]


class StockListError(Refusal):
    """A stock list in which one key names two things."""


def get_stock(*, gym: GymKey) -> Stock:
    """Everything the gym owns."""
    return stock_rows.read_stock(find_gym(gym))


def get_item(*, gym: GymKey, kind: RecordKind, key: str) -> StockValue:
    """One item.

    Raises
    ------
    NotFoundError
        If it is not there.
    """
    row = find_gym(gym)
    value_type = next((cls for cls, word in STOCK_KINDS.items() if word == kind), None)
    found = None if value_type is None else stock_rows.read_item(row, value_type, key)
    if found is None:
        raise no_record(kind, key)
    item: StockValue = found
    return item


@verb
def add_item(*, gym: GymKey, by: Actor, item: StockValue) -> None:
    """Add something to the stock.

    Raises
    ------
    Refusal
        If its key is taken.
    """
    with change(gym, by, "add_item", Right.EDIT_STOCK) as trail:
        trail.add(item)


@verb
def change_item(*, gym: GymKey, by: Actor, item: StockValue, was_seen: str | None = None) -> None:
    """Put an item's changed record in the place of the old one.

    Raises
    ------
    NotFoundError
        If it is not there.
    ChangedMeanwhileError
        If somebody changed it after it was shown.
    """
    with change(gym, by, "change_item", Right.EDIT_STOCK) as trail:
        trail.find(STOCK_KINDS[type(item)], item.key, was_seen)
        trail.put(item)


@verb
def remove_item(*, gym: GymKey, by: Actor, kind: RecordKind, key: str) -> None:
    """Take something out of the stock; the act can be undone.

    Raises
    ------
    NotFoundError
        If it is not there.
    """
    with change(gym, by, "remove_item", Right.EDIT_STOCK) as trail:
        if kind not in STOCK_KINDS.values():
            raise no_record(kind, key)
        trail.drop(kind, key)


@verb
def set_kit(*, gym: GymKey, by: Actor, key: KitKey, units: int) -> None:
    """Say how many units of a kit key there are (boxes, benches, boards …)."""
    with change(gym, by, "set_kit", Right.EDIT_STOCK) as trail:
        trail.put(KitUnits(key, units))


@verb
def replace_stock(*, gym: GymKey, by: Actor, stock: Stock) -> None:
    """Make the stock exactly this list; what is not on it leaves.

    Raises
    ------
    StockListError
        If a key names two things of one kind.
    """
    wanted = list(stock_items(stock))
    _check_keys(wanted)
    with change(gym, by, "replace_stock", Right.EDIT_STOCK) as trail:
        kept = {(type(item), item.key) for item in wanted}
        for old in stock_items(stock_rows.read_stock(trail.gym)):
            if (type(old), old.key) not in kept:
                trail.drop(STOCK_KINDS[type(old)], old.key)
        for item in wanted:
            trail.put(item)
        for value_type in STOCK_KINDS:
            keys = tuple(item.key for item in wanted if type(item) is value_type)
            stock_rows.put_in_order(trail.gym, value_type, keys)


@verb
def add_band_reading(*, gym: GymKey, by: Actor, band: str, reading: BandReading) -> None:
    """Add a calibration reading to a band.

    Raises
    ------
    NotFoundError
        If there is no such band.
    """
    with change(gym, by, "add_band_reading", Right.EDIT_STOCK) as trail:
        old: Band = trail.find(RecordKind.BAND, band)
        trail.put(replace(old, readings=(*old.readings, reading)))


def stock_items(stock: Stock) -> Iterator[Any]:
    """Every item of a stock, kit counts included."""
    yield from stock.bars
    yield from stock.plates
    yield from stock.bands
    yield from stock.chains
    yield from stock.blocks
    yield from stock.implements
    yield from stock.platforms
    for key, units in stock.kit.items():
        yield KitUnits(key, units)


def _check_keys(items: list[Any]) -> None:
    taken: set[tuple[type[Any], str]] = set()
    for item in items:
        if (type(item), item.key) in taken:
            raise StockListError(f"“{item.key}” is on the list twice: give each its own key.")
        taken.add((type(item), item.key))
