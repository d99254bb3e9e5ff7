"""What a metre of a chain weighs: by the scale, else by a standard's table, else by calliper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from heftwright.domain.height import Length
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.resistance.chains import (
    CHAIN_TABLE,
    kg_per_m_by_calliper,
    kg_per_m_by_table,
    kg_per_m_by_weighing,
    mass_sd_ratio,
)
from heftwright.domain.resistance.rigs import chain_part
from heftwright.domain.stock import Chain, ChainMassSource
from heftwright.usecases import clock
from heftwright.usecases.actor import Actor, GymKey
from heftwright.usecases.stock import RecordKind, change_item, get_item

SIZES = tuple((f"{size.standard}/{size.wire_mm:g}", size) for size in CHAIN_TABLE)
SHOWN_AT = Length.cm(80)
STEP_KG = "0.001"
POSSIBLE_KG_PER_M = (0.05, 60.0)  # as the spreadsheet door takes: common practice, no source
FAR_RATIO = 2.0  # from what is on record; a slipped point or a wrong unit is further


class ChainMassError(Refusal):
    """A chain whose mass cannot be found from what was entered."""


@dataclass(frozen=True, slots=True)
class ChainMeasures:
    """What was measured; None for what was not.

    Parameters
    ----------
    known_by : ChainMassSource
        Which way counts.
    weight, piece
        Mass and length of the piece on the scale.
    size : str
        Key of the table's row.
    wire, pitch, outer
        Calliper readings of one link.
    """

    known_by: ChainMassSource
    weight: Mass | None = None
    piece: Length | None = None
    size: str = ""
    wire: Length | None = None
    pitch: Length | None = None
    outer: Length | None = None


@dataclass(frozen=True, slots=True)
class ChainMass:
    """What they make of a chain.

    Parameters
    ----------
    chain : Chain
        With the mass of a metre that was found.
    sd : Mass
        One standard deviation of it.
    pair_kg, pair_sd_kg : float
        What a pair adds with the bar 80 cm above the floor [kg].
    doubt : str
        What to look at again, when it is far from what was on record.
    """

    chain: Chain
    sd: Mass
    pair_kg: float
    pair_sd_kg: float
    doubt: str = ""


def get_chain(*, gym: GymKey, key: str) -> Chain:
    """One chain of the stock.

    Raises
    ------
    NotFoundError
        If there is none.
    """
    found = get_item(gym=gym, kind=RecordKind.CHAIN, key=key)
    assert isinstance(found, Chain)
    return found


def chain_mass(chain: Chain, measures: ChainMeasures) -> ChainMass:
    """The chain as measured.

    Raises
    ------
    Refusal
        If something is missing or cannot be.
    """
    kg_per_m = _WAYS[measures.known_by](measures)
    if not POSSIBLE_KG_PER_M[0] <= kg_per_m <= POSSIBLE_KG_PER_M[1]:
        raise ChainMassError(
            f"That makes {kg_per_m:.3g} kg a metre, and no chain for a bar weighs that: look at "
            "the units."
        )
    found = replace(
        chain,
        mass_per_m=Mass.nearest_kg(kg_per_m, STEP_KG),
        known_by=measures.known_by,
    )
    return replace(as_known(found), doubt=_doubt(chain, kg_per_m))


def _doubt(chain: Chain, kg_per_m: float) -> str:
    before_kg = chain.mass_per_m.in_kg
    if before_kg / FAR_RATIO <= kg_per_m <= before_kg * FAR_RATIO:
        return ""
    return (
        f"That is far from the {chain.mass_per_m} a metre on record: measure again, and look at "
        "the units, before you keep it."
    )


def as_known(chain: Chain) -> ChainMass:
    """A chain on record with its ±."""
    part = chain_part(chain)
    sd_kg = mass_sd_ratio(chain.known_by) * chain.mass_per_m.in_kg
    return ChainMass(
        chain=chain,
        sd=Mass.nearest_kg(sd_kg, STEP_KG),
        pair_kg=float(part.tension_kg(SHOWN_AT.in_m)),
        pair_sd_kg=float(part.sd_kg(SHOWN_AT.in_m)),
    )


def keep_chain_mass(
    *, gym: GymKey, by: Actor, key: str, measures: ChainMeasures, was_seen: str | None
) -> Chain:
    """Put the mass of a metre on the chain's record, with how it is known.

    Raises
    ------
    Refusal
        If something is missing or cannot be.
    NotFoundError, ChangedMeanwhileError
        As for every change of the stock.
    """
    weighed = chain_mass(get_chain(gym=gym, key=key), measures).chain
    found = replace(weighed, known_on=clock.today(gym))
    change_item(gym=gym, by=by, item=found, was_seen=was_seen)
    return found


def _weighed(measures: ChainMeasures) -> float:
    if measures.weight is None or measures.piece is None:
        raise ChainMassError("Weigh a piece of the chain and tape how long it is: both are needed.")
    return kg_per_m_by_weighing(measures.weight, measures.piece)


def _by_table(measures: ChainMeasures) -> float:
    size = dict(SIZES).get(measures.size)
    if size is None:
        raise ChainMassError("Choose the standard and size that are stamped on the chain's tag.")
    return kg_per_m_by_table(size.standard, size.wire_mm)


def _by_calliper(measures: ChainMeasures) -> float:
    if measures.wire is None or measures.pitch is None or measures.outer is None:
        raise ChainMassError("Three calliper readings are needed: wire, pitch and outer width.")
    return kg_per_m_by_calliper(measures.wire.in_mm, measures.pitch.in_mm, measures.outer.in_mm)


_WAYS: dict[ChainMassSource, Callable[[ChainMeasures], float]] = {
    ChainMassSource.WEIGHED: _weighed,
    ChainMassSource.TABLE: _by_table,
    ChainMassSource.CALLIPER: _by_calliper,
}
