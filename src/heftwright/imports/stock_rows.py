"""Bars, plates, bands and the rest of the stock from their sheets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from heftwright.domain.catalogue import Implement, KitKey
from heftwright.domain.names import short_name
from heftwright.domain.stock import (
    Band,
    BandReading,
    Bar,
    Block,
    Chain,
    ChainMassSource,
    ImplementUnit,
    PlatePair,
    Platform,
    ReadingDirection,
    RigKind,
    Side,
    Stock,
)
from heftwright.imports.columns import plain
from heftwright.imports.findings import CellError, nearest
from heftwright.imports.gym import Gym, exact, merged
from heftwright.imports.rows import ParsedRow

Rows = Mapping[str, list[ParsedRow]]


def read_stock(gym: Gym, rows: Rows) -> Stock:
    """The stock items that the files hold, each merged with the known item of its key."""
    known = gym.known.stock
    bands = _read_items(gym, rows, "bands", Band, known.bands)
    return Stock(
        bars=_read_items(gym, rows, "bars", Bar, known.bars),
        plates=_read_items(gym, rows, "plates", PlatePair, known.plates),
        bands=_with_readings(gym, rows.get("band_readings", []), bands),
        chains=_read_items(gym, rows, "chains", Chain, known.chains),
        blocks=_read_items(gym, rows, "blocks", Block, known.blocks),
        implements=_read_items(gym, rows, "implements", ImplementUnit, known.implements),
        platforms=_read_items(gym, rows, "platforms", Platform, known.platforms),
        kit=_read_kit(gym, rows.get("kit", [])),
    )


def _read_items(
    gym: Gym, rows: Rows, sheet: str, cls: Callable[..., Any], known: tuple[Any, ...]
) -> tuple[Any, ...]:
    reader = _ItemReader(gym, cls, known)
    found = [gym.attempt(row, reader.item) for row in rows.get(sheet, [])]
    return tuple(item for item in found if item is not None)


class _ItemReader:
    """Items of one kind, each key once."""

    def __init__(self, gym: Gym, cls: Callable[..., Any], known: tuple[Any, ...]) -> None:
        self._gym = gym
        self._cls = cls
        self._known = {item.key: item for item in known}
        self._keys = {plain(getattr(item, "name", item.key)): item.key for item in known}
        self._done: dict[str, int] = {}

    def item(self, row: ParsedRow) -> Any:
        key = self._key(row)
        if key in self._done:
            raise CellError(
                f"“{key}” stands in row {self._done[key]} already: keep one row, or give each its "
                "own key.",
                "key",
            )
        given = {name: _domain(name, value) for name, value in row.values.items()}
        item = merged(self._known.get(key), self._cls, given | {"key": key})
        self._done[key] = row.place.row
        self._gym.keep_written(row, key)
        return item

    def _key(self, row: ParsedRow) -> str:
        if "key" in row.values:
            return str(row.values["key"])
        name = row.values["name"]
        key = self._keys.get(plain(name)) or short_name(name)
        if not key:
            raise CellError(f"“{name}” has no letters for a key: fill in the Key column.", "name")
        return key


def _domain(name: str, value: Any) -> Any:
    if name == "implement":
        return Implement(value)
    if name == "known_by":
        return ChainMassSource(value)
    if name == "peg_heights":
        return tuple(exact(height) for height in value)
    return exact(value)


def _with_readings(gym: Gym, rows: list[ParsedRow], bands: tuple[Band, ...]) -> tuple[Band, ...]:
    """Bands with the readings of the Band readings sheet added to those already known."""
    known = {band.key: band for band in gym.known.stock.bands}
    at_hand = known | {band.key: band for band in bands}
    touched = [band.key for band in bands]
    for row in rows:
        found = gym.attempt(row, lambda row: _reading(gym, row, at_hand))
        if found is not None:
            key, reading = found
            at_hand[key] = _with_reading(at_hand[key], reading)
            touched.append(key)
    return tuple(at_hand[key] for key in dict.fromkeys(touched))


def _with_reading(band: Band, reading: BandReading) -> Band:
    if reading in band.readings:
        return band
    return replace(band, readings=(*band.readings, reading))


def _reading(gym: Gym, row: ParsedRow, bands: Mapping[str, Band]) -> tuple[str, BandReading]:
    values = row.values
    key = _band_key(values["band"], bands)
    reading = BandReading(
        length=values["length"].length,
        force=values["force"].mass,
        taken_on=values["taken_on"],
        side=Side(values.get("side", Side.BOTH)),
        direction=ReadingDirection(values.get("direction", ReadingDirection.UNSAID)),
        rig=RigKind(values.get("rig", RigKind.CHOKED)),
    )
    gym.keep_written(row, key)
    return key, reading


def _band_key(text: str, bands: Mapping[str, Band]) -> str:
    if text in bands:
        return text
    found = [key for key, band in bands.items() if plain(text) in (plain(band.name), plain(key))]
    if len(found) == 1:
        return found[0]
    if found:
        raise CellError(f"“{text}” names {len(found)} bands: write the key of one.", "band")
    near = nearest(text, tuple(band.name for band in bands.values()), 1)
    hint = f"did you mean “{near[0]}”?" if near else "add it to the Bands sheet."
    raise CellError(f"There is no band “{text}”: {hint}", "band")


def _read_kit(gym: Gym, rows: list[ParsedRow]) -> dict[KitKey, int]:
    kit: dict[KitKey, int] = {}
    for row in rows:
        found = gym.attempt(row, lambda row: _kit(gym, row, kit))
        if found is not None:
            kit[found] = row.values["count"]
    return kit


def _kit(gym: Gym, row: ParsedRow, done: Mapping[KitKey, int]) -> KitKey:
    text = row.values["kit"]
    known = tuple(gym.known.catalogue.athletes_per_unit)
    found = next((key for key in known if plain(key) == plain(text)), None)
    if found is None:
        near = nearest(text, known, 1)
        hint = f"did you mean “{near[0]}”?" if near else f"write one of: {', '.join(known)}."
        raise CellError(f"“{text}” is no kit of the catalogue: {hint}", "kit")
    if found in done:
        raise CellError(f"“{found}” is counted twice: keep one row.", "kit")
    return found
