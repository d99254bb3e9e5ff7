"""Prior lift ratios: data with source, n, sex and whether anyone verified it."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from heftwright.domain.catalogue import BarPathKind, Catalogue, LiftKey
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import Sex

COMMON_PRACTICE = "common practice, no source"
_UNKNOWN_LOG_SD = 0.30


class RatioDataError(Refusal):
    """A ratio file that names a missing lift or runs in a circle."""


@dataclass(frozen=True, slots=True)
class LiftRatio:
    """How one lift's max compares with another's, before anybody is tested.

    Parameters
    ----------
    lift, of : str
        This lift, and the lift it is a share of.
    ratio, women_ratio : float
        Max over max, 0.1–3; for women where the source differs.
    log_sd : float
        How far a squad's average may lie from it, on the log scale, > 0 (our judgement).
    source : str
        Citation, or ``"common practice, no source"``.
    n : int or None
        People in the source; None: not recorded.
    sex : str
        Of the people in the source.
    verified : bool
        Whether somebody read the number in the source.
    note : str
        For the coach.
    """

    lift: str
    of: str
    ratio: float
    women_ratio: float
    log_sd: float
    source: str
    n: int | None
    sex: str
    verified: bool
    note: str = ""

    def __post_init__(self) -> None:
        if not (0.1 <= self.ratio <= 3 and 0.1 <= self.women_ratio <= 3 and self.log_sd > 0):
            raise RatioDataError(
                f"Ratio {self.lift} / {self.of}: ratios must be 0.1–3 and the log sd above 0."
            )

    def for_sex(self, sex: Sex) -> float:
        """The ratio for a sex."""
        return self.women_ratio if sex is Sex.WOMAN else self.ratio

    @property
    def words(self) -> str:
        """Provenance for the screen, never left out (checks.md X9)."""
        people = "n not recorded" if self.n is None else f"n = {self.n}"
        known = f"{self.source}; {people}; {self.sex}"
        if self.source == COMMON_PRACTICE:
            known = self.source
        return (
            f"ratio {self.ratio:g} to {self.of} ({known}{'' if self.verified else '; unverified'})"
        )


@dataclass(frozen=True, slots=True)
class RatioTable:
    """All prior ratios and levels.

    Parameters
    ----------
    root : LiftKey
        The lift that all others hang from.
    root_kg, root_log_sd : float
        Its level for a man of ``centre_kg`` [kg], and its log sd.
    woman_lower_log, woman_upper_log, woman_log_sd : float
        Level of women against men of the same body mass, log scale.
    exponent, exponent_sd, centre_kg : float
        Max ~ (body mass / centre)^exponent.
    ratios : Mapping
        Lift -> ratio; the root has none.
    same_max_as : Mapping
        Lift -> the lift whose max it shares.
    published : tuple of LiftRatio
        Published rows for lifts that the catalogue does not hold.
    """

    root: LiftKey
    root_kg: float
    root_log_sd: float
    woman_lower_log: float
    woman_upper_log: float
    woman_log_sd: float
    exponent: float
    exponent_sd: float
    centre_kg: float
    ratios: Mapping[LiftKey, LiftRatio]
    same_max_as: Mapping[LiftKey, LiftKey]
    published: tuple[LiftRatio, ...] = ()

    def max_key(self, lift: LiftKey) -> LiftKey:
        """The lift whose max this lift uses."""
        return self.same_max_as.get(lift, lift)

    def lifts_with_max(self, catalogue: Catalogue) -> tuple[LiftKey, ...]:
        """Lifts that have a max of their own: on a bar, or with a ratio here."""
        return tuple(
            key
            for key, lift in catalogue.items()
            if key not in self.same_max_as
            and (lift.bar_path is not BarPathKind.NONE or key in self.ratios)
        )

    def ratio_of(self, lift: LiftKey) -> LiftRatio:
        """The ratio row; for a lift nobody listed, an openly unknown one to the root."""
        known = self.ratios.get(lift)
        if known is not None:
            return known
        guess = "no ratio known: a guess"
        return LiftRatio(
            lift, self.root, 0.6, 0.6, _UNKNOWN_LOG_SD, guess, n=None, sex="", verified=False
        )

    def chain(self, lift: LiftKey) -> tuple[LiftRatio, ...]:
        """Ratio rows from the lift up to the root.

        Raises
        ------
        RatioDataError
            If the rows run in a circle.
        """
        rows: list[LiftRatio] = []
        while lift != self.root:
            row = self.ratio_of(lift)
            rows.append(row)
            lift = LiftKey(row.of)
            if len(rows) > len(self.ratios) + 1:
                raise RatioDataError(f"The ratios of “{rows[0].lift}” run in a circle.")
        return tuple(rows)

    def log_level(self, lift: LiftKey, sex: Sex) -> float:
        """Prior log level of the lift for a man of the centre body mass, sex-specific ratios."""
        return math.log(self.root_kg) + sum(math.log(row.for_sex(sex)) for row in self.chain(lift))


@cache
def load_ratios() -> RatioTable:
    """The ratios that ship with Heftwright."""
    text = resources.files(__package__).joinpath("ratios.json").read_text(encoding="utf-8")
    return read_ratios(json.loads(text))


def read_ratios(document: Mapping[str, Any]) -> RatioTable:
    """Build the table from the parsed document, refusing contradictions."""
    root, woman, mass = document["root"], document["woman"], document["body_mass"]
    rows = [_read_row(record) for record in document["ratios"]]
    table = RatioTable(
        LiftKey(root["lift"]),
        root["man_at_90_kg_body_mass_kg"],
        root["log_sd"],
        woman["lower_log"],
        woman["upper_log"],
        woman["log_sd"],
        mass["exponent"],
        mass["sd"],
        mass["centre_kg"],
        {LiftKey(row.lift): row for row in rows},
        {LiftKey(k): LiftKey(v) for k, v in document["same_max_as"].items()},
        tuple(_read_row(record) for record in document.get("published_only", ())),
    )
    if len(table.ratios) != len(rows):
        raise RatioDataError("Two ratio rows are about the same lift: keep one.")
    for lift in table.ratios:
        table.chain(lift)
    return table


def _read_row(record: Mapping[str, Any]) -> LiftRatio:
    return LiftRatio(
        record["lift"],
        record["of"],
        record["ratio"],
        record.get("women_ratio", record["ratio"]),
        record.get("log_sd", 0.1),
        record.get("source", COMMON_PRACTICE),
        record.get("n"),
        record.get("sex", "not recorded"),
        record.get("verified", False),
        record.get("note", ""),
    )
