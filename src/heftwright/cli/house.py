"""What every command shares: opening the house, choosing the gym, and speaking to machines."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from enum import Enum
from typing import Any

import click

from heftwright.domain.height import Length
from heftwright.domain.mass import EnteredMass, Mass, MassUnit
from heftwright.domain.refusal import NotFoundError, Refusal


def open_gym(gym: str | None) -> str:
    """Open the data directory and return the gym's key: the one asked for, or the only one.

    Raises
    ------
    NotFoundError
        If there is none, or not the one asked for.
    Refusal
        If there are several and none was named.
    """
    from heftwright.usecases.start import open_house

    open_house()
    from heftwright.usecases.actor import Actor
    from heftwright.usecases.gym import get_gyms

    keys = [card.key for card in get_gyms(by=Actor.at_terminal())]
    if gym is not None and gym not in keys:
        raise NotFoundError(f"There is no gym “{gym}” here: {', '.join(keys) or 'none yet'}.")
    if gym is None and len(keys) != 1:
        raise Refusal(_which_gym(keys))
    return gym or keys[0]


def _which_gym(keys: list[Any]) -> str:
    if not keys:
        return "There is no gym here yet: start one with `heftwright gym NAME`, or see the demo."
    return f"Several gyms are here: name one with --gym ({', '.join(keys)})."


gym_option = click.option("--gym", metavar="GYM", help="Which gym, if there are several.")
json_option = click.option("--json", "as_json", is_flag=True, help="For machines: JSON.")


def say_json(value: Any) -> None:
    """Print any domain value as JSON; masses in exact kg as text, lengths in mm."""
    click.echo(json.dumps(plain(value), indent=1, ensure_ascii=False))


def plain(value: Any) -> Any:
    """A domain value in JSON's words."""
    if isinstance(value, Mass):
        return {"kg": f"{value.exactly(MassUnit.KG):f}"}
    if isinstance(value, EnteredMass | date | datetime | time | Decimal):
        return str(value)
    if isinstance(value, Length):
        return {"mm": plain(value.in_mm)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float) and value.is_integer():
        return int(value)  # 100, not 100.0: a zero too many is read as a thousand (ISMP)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(item) for item in value]
    return value
