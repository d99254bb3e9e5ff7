"""What “25 % bands” means: five accounts in print, never mixed up.

References
----------
Nijem 2016 and Galpin 2015 (JSCR 29(12):3271–78): share of the total; Stevenson 2010: share of the
bar load; Joy 2016: share of the 1RM on top of the bar load.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.refusal import Refusal


class ShareError(Refusal):
    """A share that leaves no bar, or that does not say what it is a share of."""


class TopShareMeaning(StrEnum):
    """What a share of accommodating resistance is a share of, and where it is counted."""

    MAX_ADDED = "max_added"
    MAX_INSIDE = "max_inside"
    TOTAL_AT_TOP = "total_at_top"
    TOTAL_ON_AVERAGE = "total_on_average"
    BAR_LOAD = "bar_load"

    @property
    def shown(self) -> str:
        """The words on screens and paper."""
        return _SHOWN[self]

    @property
    def load_is_bar(self) -> bool:
        """Whether the written load is the bar alone; else it is bar and bands together."""
        return self in (TopShareMeaning.MAX_ADDED, TopShareMeaning.BAR_LOAD)

    @property
    def is_on_average(self) -> bool:
        """Whether it is counted as the mean over the range of motion; else at the top."""
        return self == TopShareMeaning.TOTAL_ON_AVERAGE

    @property
    def where(self) -> str:
        """Where it is counted, in words."""
        return "on average" if self.is_on_average else "at the top"


DEFAULT_MEANING = TopShareMeaning.MAX_ADDED
_SHOWN = {
    TopShareMeaning.MAX_ADDED: "share of the max at the top, on top of the bar load",
    TopShareMeaning.MAX_INSIDE: "share of the max at the top, inside the written load",
    TopShareMeaning.TOTAL_AT_TOP: "share of the whole load at the top",
    TopShareMeaning.TOTAL_ON_AVERAGE: "share of the whole load on average over the lift",
    TopShareMeaning.BAR_LOAD: "share of the bar load at the top, on top of it",
}


@dataclass(frozen=True, slots=True)
class Account:
    """A banded load taken apart.

    Parameters
    ----------
    meaning : TopShareMeaning
        Which account.
    bar_kg : float
        Bar, collars and plates [kg].
    band_kg : float
        Bands or chains [kg]: on average if the meaning is, else at the top.
    """

    meaning: TopShareMeaning
    bar_kg: float
    band_kg: float

    @property
    def total_kg(self) -> float:
        """Both together [kg]."""
        return self.bar_kg + self.band_kg


@dataclass(frozen=True, slots=True)
class BandedLoad:
    """A real load on a real rig: what every account of it starts from.

    Parameters
    ----------
    max_kg : float
        The lift's max [kg], > 0.
    bar_kg : float
        Bar, collars and plates [kg], ≥ 0.
    band_top_kg, band_mean_kg : float
        Bands or chains at the top, and on average over the range of motion [kg].
    """

    max_kg: float
    bar_kg: float
    band_top_kg: float
    band_mean_kg: float

    def __post_init__(self) -> None:
        if not (self.max_kg > 0 and self.bar_kg >= 0):
            raise ShareError("A share needs a max above 0 kg and a bar of 0 kg or more.")
        if self.bar_kg + min(self.band_top_kg, self.band_mean_kg) <= 0:
            raise ShareError("The whole load must be above 0 kg to have shares.")

    def load_ratio(self, meaning: TopShareMeaning) -> float:
        """The load as this account writes it, of the max."""
        written_kg = self.bar_kg
        if not meaning.load_is_bar:
            written_kg += self._band_kg(meaning)
        return written_kg / self.max_kg

    def share_ratio(self, meaning: TopShareMeaning) -> float:
        """The share of bands as this account writes it.

        Raises
        ------
        ShareError
            For a share of the bar load where the bar weighs nothing.
        """
        if meaning == TopShareMeaning.BAR_LOAD and self.bar_kg == 0:
            raise ShareError("A bar of 0 kg has no share: choose another account.")
        band_kg = self._band_kg(meaning)
        whole_kg = {
            TopShareMeaning.MAX_ADDED: self.max_kg,
            TopShareMeaning.MAX_INSIDE: self.max_kg,
            TopShareMeaning.TOTAL_AT_TOP: self.bar_kg + band_kg,
            TopShareMeaning.TOTAL_ON_AVERAGE: self.bar_kg + band_kg,
            TopShareMeaning.BAR_LOAD: self.bar_kg,
        }
        return band_kg / whole_kg[meaning]

    def _band_kg(self, meaning: TopShareMeaning) -> float:
        return self.band_mean_kg if meaning.is_on_average else self.band_top_kg


def take_apart(
    max_kg: float,
    load_ratio: float,
    share_ratio: float,
    meaning: TopShareMeaning = DEFAULT_MEANING,
) -> Account:
    """Bar and bands from what a programme writes.

    Parameters
    ----------
    max_kg : float
        The lift's max [kg], > 0.
    load_ratio : float
        The written load of the max, 0–1.5.
    share_ratio : float
        The written share of bands, 0–1.
    meaning : TopShareMeaning
        What it is a share of.

    Raises
    ------
    ShareError
        If a number is outside its range or nothing is left for the bar.
    """
    if not (max_kg > 0 and 0 <= load_ratio <= 1.5 and 0 <= share_ratio <= 1):
        raise ShareError(
            f"Max {max_kg:g} kg, load {load_ratio:g} and share {share_ratio:g}: the max must be "
            "above 0, the load 0–1.5 of it and the share 0–1."
        )
    written_kg = load_ratio * max_kg
    is_of_max = meaning in (TopShareMeaning.MAX_ADDED, TopShareMeaning.MAX_INSIDE)
    band_kg = share_ratio * (max_kg if is_of_max else written_kg)
    bar_kg = written_kg if meaning.load_is_bar else written_kg - band_kg
    return Account(meaning, _a_bar(bar_kg, meaning), band_kg)


def bar_for_rig(
    max_kg: float,
    load_ratio: float,
    band_top_kg: float,
    band_mean_kg: float,
    meaning: TopShareMeaning = DEFAULT_MEANING,
) -> float:
    """Bar load [kg] that makes the written load with a rig in hand.

    Raises
    ------
    ShareError
        If the rig alone is more than the written load.
    """
    written_kg = load_ratio * max_kg
    if meaning.load_is_bar:
        return written_kg
    band_kg = band_mean_kg if meaning.is_on_average else band_top_kg
    return _a_bar(written_kg - band_kg, meaning)


def _a_bar(bar_kg: float, meaning: TopShareMeaning) -> float:
    if bar_kg < 0:
        raise ShareError(
            f"The bands alone are {-bar_kg:.1f} kg more than the written load, which counts them "
            f"in ({meaning.shown}): use lighter bands or another account."
        )
    return bar_kg


def accounts_of(max_kg: float, load_ratio: float, share_ratio: float) -> Iterator[Account]:
    """Every account of one max, load and share that leaves a bar, in the order of the meanings.

    Parameters
    ----------
    max_kg, load_ratio, share_ratio : float
        As for ``take_apart``.
    """
    for meaning in TopShareMeaning:
        with suppress(ShareError):
            yield take_apart(max_kg, load_ratio, share_ratio, meaning)


def ask_meaning(max_kg: float, load_ratio: float, share_ratio: float) -> str:
    """The question for an import that does not say, with what each answer would put on the bar."""
    lines = [f"“{share_ratio:.0%} bands” with {load_ratio:.0%}: which is meant?"]
    lines += [
        f"{account.meaning.shown}: {account.bar_kg:.1f} kg on the bar and {account.band_kg:.1f} kg "
        f"of bands {account.meaning.where}"
        for account in accounts_of(max_kg, load_ratio, share_ratio)
    ]
    return "\n".join(lines)
