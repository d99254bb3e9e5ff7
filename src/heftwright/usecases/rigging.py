"""Choosing a set-up: which rigs in stock give the wanted share, and the bar that goes with each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from heftwright.domain.catalogue import Lift, LiftKey
from heftwright.domain.refusal import NotFoundError, Refusal
from heftwright.domain.resistance import (
    DEFAULT_MEANING,
    Account,
    BandedLoad,
    BarPath,
    RigChoice,
    SetUp,
    TopShareMeaning,
    WantedShare,
    accounts_of,
    bar_for_rig,
    bar_path,
    choose_for_class,
    fits_platform,
    free_at_once,
    left_out,
    possible_setups,
    take_apart,
)
from heftwright.domain.squad import Athlete, AthleteId, ClassTime
from heftwright.domain.stock import RigKind, Stock
from heftwright.usecases.gathering import Gathered

MOST_LINES = 8
LEAST_LINES = 4
ROUNDING = 1e-9  # exactly at the limit is inside
MOST_REFUSED = 4


class Kinds(StrEnum):
    """What may give the share."""

    BANDS = "bands"
    CHAINS = "chains"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Wish:
    """What a programme writes.

    Parameters
    ----------
    load_ratio : float
        Of the lift's max, 0–1.5, as ``meaning`` writes it.
    share_ratio : float
        Of bands or chains, 0–1, as ``meaning`` writes it.
    slack_ratio : float
        Tolerated either way, 0–1.
    meaning : TopShareMeaning
        What the share is a share of.
    kinds : Kinds
        Bands, chains or both together.
    """

    load_ratio: float = 0.50
    share_ratio: float = 0.25
    slack_ratio: float = 0.03
    meaning: TopShareMeaning = DEFAULT_MEANING
    kinds: Kinds = Kinds.BANDS

    def account(self, max_kg: float) -> Account:
        """Bar and bands as written."""
        return take_apart(max_kg, self.load_ratio, self.share_ratio, self.meaning)

    def wanted(self, max_kg: float) -> WantedShare:
        """The same as a share of the max, for the chooser."""
        low, middle, high = (
            self._band_ratio(max_kg, self.share_ratio + step)
            for step in (-self.slack_ratio, 0.0, self.slack_ratio)
        )
        return WantedShare(max_kg, middle, low, high, is_on_average=self.meaning.is_on_average)

    def tolerates(self, share_ratio: float) -> bool:
        """Whether a share is near enough."""
        return abs(share_ratio - self.share_ratio) <= self.slack_ratio + ROUNDING

    def _band_ratio(self, max_kg: float, share_ratio: float) -> float:
        inside = min(max(share_ratio, 0.0), 1.0)
        account = take_apart(max_kg, self.load_ratio, inside, self.meaning)
        return account.band_kg / max_kg


@dataclass(frozen=True, slots=True)
class RigLine:
    """One rig for one athlete.

    Parameters
    ----------
    choice : RigChoice
        What it adds, with its ±.
    bar_kg : float or None
        The bar that makes the written load; None where the rig alone is more than that.
    share_ratio : float or None
        The share as the wish's meaning writes it.
    free : int
        How many platforms can have it at the same time.
    """

    choice: RigChoice
    bar_kg: float | None
    share_ratio: float | None
    free: int

    @property
    def setup(self) -> SetUp:
        """Which rig."""
        return self.choice.setup


@dataclass(frozen=True, slots=True)
class MeaningLine:
    """What the same two figures would put on the bar under one meaning."""

    meaning: TopShareMeaning
    account: Account | None


@dataclass(frozen=True, slots=True)
class RigSheet:
    """Rigs for one athlete and lift.

    Parameters
    ----------
    lines : tuple of RigLine
        Usable ones, best first.
    refused : tuple of RigLine
        Close to the wish, but something speaks against them.
    left_out : tuple of str
        Bands that are not offered, and why.
    """

    athlete: Athlete
    lift: Lift
    path: BarPath
    max_kg: float
    max_words: str
    account: Account
    meanings: tuple[MeaningLine, ...]
    lines: tuple[RigLine, ...]
    refused: tuple[RigLine, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ClassLine:
    """One athlete of a class: the best rig, or why there is none."""

    athlete: Athlete
    max_kg: float
    best: RigLine | None
    why_none: str


@dataclass(frozen=True, slots=True)
class ClassRig:
    """One rig for a class: whom it suits, and how many can use it at once."""

    setup: SetUp
    suits: tuple[Athlete, ...]
    free: int


@dataclass(frozen=True, slots=True)
class ClassSheetOfRigs:
    """Rigs for a whole class."""

    lines: tuple[ClassLine, ...]
    rigs: tuple[ClassRig, ...]
    left_out: tuple[str, ...]


def rigs_for(*, known: Gathered, athlete: AthleteId, lift: LiftKey, wish: Wish) -> RigSheet:
    """Ranked rigs for one athlete of the gym as gathered.

    Raises
    ------
    NotFoundError
        If there is no such athlete.
    Refusal
        If a height or the max is missing, saying what to tape or to enter.
    """
    person, chosen = _athlete(known, athlete), known.catalogue[lift]
    path = bar_path(chosen, person)
    max_kg, words = known.beliefs[athlete, lift].prescribing_kg(known.day)
    setups = _setups(known, wish.kinds)
    account, wanted = wish.account(max_kg), wish.wanted(max_kg)
    ranked = choose_for_class(setups, [path], [wanted])[0]
    usable = [choice for choice in ranked if not choice.stops]
    near = sorted((c for c in ranked if c.stops), key=lambda c: _off(c, wanted))
    return RigSheet(
        athlete=person,
        lift=chosen,
        path=path,
        max_kg=max_kg,
        max_words=words,
        account=account,
        meanings=_meanings(max_kg, wish),
        lines=_lines(_near(usable, wanted), known, max_kg, wish),
        refused=_lines(near[:MOST_REFUSED], known, max_kg, wish),
        left_out=left_out(known.stock, known.day),
    )


def rigs_for_class(
    *, known: Gathered, class_key: str, lift: LiftKey, wish: Wish
) -> ClassSheetOfRigs:
    """Rigs for everybody who usually comes to a class.

    Raises
    ------
    NotFoundError
        If there is no such class.
    """
    members = _class_time(known, class_key).members
    people = [known.athletes[key] for key in members if key in known.athletes]
    asked, missing = _asked(people, known, known.catalogue[lift], wish)
    setups = _setups(known, wish.kinds)
    paths, wishes = [one.path for one in asked], [one.wanted for one in asked]
    ranked = choose_for_class(setups, paths, wishes) if asked else ()
    lines = [
        _class_line(one, choices, known, wish) for one, choices in zip(asked, ranked, strict=True)
    ]
    return ClassSheetOfRigs(
        lines=tuple(sorted([*lines, *missing], key=lambda line: line.athlete.number)),
        rigs=_class_rigs(asked, ranked, known),
        left_out=left_out(known.stock, known.day),
    )


def _class_time(known: Gathered, key: str) -> ClassTime:
    found = next((item for item in known.timetable.classes if item.key == key), None)
    if found is None:
        raise NotFoundError(f"There is no class “{key}” in the timetable: see Settings.")
    return found


@dataclass(frozen=True, slots=True)
class _Asked:
    athlete: Athlete
    path: BarPath
    max_kg: float
    wanted: WantedShare


def _asked(
    people: Iterable[Athlete], known: Gathered, lift: Lift, wish: Wish
) -> tuple[list[_Asked], list[ClassLine]]:
    asked, missing = [], []
    for person in people:
        try:
            path = bar_path(lift, person)
            max_kg, _ = known.beliefs[person.id, lift.key].prescribing_kg(known.day)
            asked.append(_Asked(person, path, max_kg, wish.wanted(max_kg)))
        except Refusal as refusal:
            missing.append(ClassLine(person, 0.0, None, str(refusal)))
    return asked, missing


def _class_line(
    one: _Asked, choices: Sequence[RigChoice], known: Gathered, wish: Wish
) -> ClassLine:
    best = next((choice for choice in choices if choice.is_within), None)
    if best is None:
        why = f"No {wish.kinds.value} in stock give the wanted share over this range of motion."
        return ClassLine(one.athlete, one.max_kg, None, why)
    return ClassLine(one.athlete, one.max_kg, _line(best, known, one.max_kg, wish), "")


def _class_rigs(
    asked: Sequence[_Asked], ranked: Sequence[Sequence[RigChoice]], known: Gathered
) -> tuple[ClassRig, ...]:
    """Rigs that suit somebody, those that suit most first."""
    suits: dict[str, tuple[SetUp, list[Athlete]]] = {}
    for one, choices in zip(asked, ranked, strict=True):
        for choice in choices:
            if choice.is_within:
                suits.setdefault(choice.setup.key, (choice.setup, []))[1].append(one.athlete)
    rigs = [
        ClassRig(setup, tuple(people), _free(setup, known.stock))
        for setup, people in suits.values()
    ]
    rigs.sort(key=lambda rig: (-len(rig.suits), -rig.free, rig.setup.key))
    return tuple(rigs[:MOST_LINES])


def _setups(known: Gathered, kinds: Kinds) -> tuple[SetUp, ...]:
    """Only rigs that hold down: bands from above unload, and no share is meant by them."""
    found = possible_setups(known.stock, known.day, has_mixed=kinds is Kinds.BOTH)
    return tuple(s for s in found if _is_of(s, kinds) and not _unloads(s))


def _unloads(setup: SetUp) -> bool:
    return any(part.rig == RigKind.FROM_ABOVE for part in setup.band_parts)


def _is_of(setup: SetUp, kinds: Kinds) -> bool:
    if kinds is Kinds.BANDS:
        return not setup.chain_parts
    return kinds is Kinds.BOTH or not setup.band_parts


def _near(usable: Sequence[RigChoice], wanted: WantedShare) -> list[RigChoice]:
    """Those that fit, and of the others only the nearest, so that there is a list to read."""
    fitting = [choice for choice in usable if choice.is_within]
    others = [choice for choice in usable if not choice.is_within]
    others.sort(key=lambda choice: _off(choice, wanted))
    return [*fitting, *others[: max(LEAST_LINES - len(fitting), 0)]][:MOST_LINES]


def _off(choice: RigChoice, wanted: WantedShare) -> float:
    return abs(wanted.ratio_of(choice.top_kg, choice.mean_kg) - wanted.wanted_ratio)


def _lines(
    choices: Iterable[RigChoice], known: Gathered, max_kg: float, wish: Wish
) -> tuple[RigLine, ...]:
    return tuple(_line(choice, known, max_kg, wish) for choice in choices)


def _line(choice: RigChoice, known: Gathered, max_kg: float, wish: Wish) -> RigLine:
    free = _free(choice.setup, known.stock)
    try:
        bar_kg = bar_for_rig(max_kg, wish.load_ratio, choice.top_kg, choice.mean_kg, wish.meaning)
        load = BandedLoad(max_kg, bar_kg, choice.top_kg, choice.mean_kg)
        return RigLine(choice, bar_kg, load.share_ratio(wish.meaning), free)
    except Refusal:
        return RigLine(choice, None, None, free)


def _free(setup: SetUp, stock: Stock) -> int:
    """How many platforms can have it at once: enough bands, and the pegs it needs."""
    pegged = sum(fits_platform(setup, platform) for platform in stock.platforms)
    return min(free_at_once(setup, stock), pegged)


def _meanings(max_kg: float, wish: Wish) -> tuple[MeaningLine, ...]:
    found = accounts_of(max_kg, wish.load_ratio, wish.share_ratio)
    by_meaning = {account.meaning: account for account in found}
    return tuple(MeaningLine(meaning, by_meaning.get(meaning)) for meaning in TopShareMeaning)


def _athlete(known: Gathered, key: AthleteId) -> Athlete:
    if key not in known.athletes:
        raise NotFoundError(f"There is no athlete “{key}” in this squad: see its list.")
    return known.athletes[key]
