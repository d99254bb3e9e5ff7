"""The loaded sleeve in words: for the terminal, for a screen reader, for a row of a list."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from itertools import groupby

from heftwright.domain.mass import MassUnit
from heftwright.domain.sheet import LoadedSleeve, PlateOnBar

_ASCII = str.maketrans(
    {"▐": "[", "▌": "]", "│": "|", "→": ">", "×": "x", "·": "-", "–": "-", "−": "-"}
)


def sleeve_text(sleeve: LoadedSleeve, *, is_ascii: bool = False, when: str = "") -> str:
    """One line for a terminal: ``▐ 25│20│5 ▌ off 10 → on 5 + 2.5 kg a side``.

    Inner plate first, a side; then ``when``, and what comes off and what goes on, in the order of
    doing it.
    """
    stack = "│".join(plate.label for plate in sleeve.plates) or "bar only"
    change = change_text(sleeve)
    line = f"▐ {stack} ▌ {f'{when}{change}' if change else _nothing_to_change(sleeve)}"
    if not is_ascii:
        return line
    return line.translate(_ASCII).encode("ascii", "replace").decode("ascii")


def change_text(sleeve: LoadedSleeve) -> str:
    """``off 10 → on 5 + 2.5 kg a side``, or empty if nothing changes."""
    parts = []
    if sleeve.off:
        parts.append(f"off {plates_words(sleeve.off, is_unit_shown=not sleeve.on)}")
    if sleeve.on:
        parts.append(f"on {plates_words(sleeve.on)}")
    return f"{' → '.join(parts)} a side" if parts else ""


def sleeve_words(sleeve: LoadedSleeve) -> str:
    """The picture in sentences, for those who do not see it."""
    sentences = [f"{sleeve.bar_name}, one end, from the inside out: {_stack(sleeve)}."]
    if sleeve.collar:
        sentences.append(f"Then a collar of {sleeve.collar.shown()}.")
    if sleeve.off:
        sentences.append(f"Comes off each side first: {plates_words(sleeve.off)}.")
    if sleeve.on:
        sentences.append(f"Goes on each side: {plates_words(sleeve.on)}.")
    return " ".join(sentences)


def plates_words(plates: tuple[PlateOnBar, ...], *, is_unit_shown: bool = True) -> str:
    """``25 + 25 + 5 kg``: the masses printed on the plates with their unit.

    The unit stands once if all plates share it, else after each run of plates that do.
    """
    runs = [
        (unit, " + ".join(plate.label for plate in run))
        for unit, run in groupby(plates, key=printed_unit)
    ]
    if len(runs) == 1 and not is_unit_shown:
        return runs[0][1]
    return " + ".join(f"{labels} {unit}" for unit, labels in runs)


def printed_unit(plate: PlateOnBar) -> MassUnit:
    """The unit in which the printed number comes nearest to the plate's own mass."""
    try:
        printed = Decimal(plate.label)
    except InvalidOperation:
        return MassUnit.KG
    if not printed.is_finite():
        return MassUnit.KG
    return min(MassUnit, key=lambda unit: abs(plate.mass.exactly(unit) - printed))


def _stack(sleeve: LoadedSleeve) -> str:
    return plates_words(sleeve.plates) if sleeve.plates else "no plates"


def _nothing_to_change(sleeve: LoadedSleeve) -> str:
    return (
        f"{MassUnit.KG if not sleeve.plates else printed_unit(sleeve.plates[0])} a side, as it is"
    )
