"""The class sheet: who lifts where, in what order, with what on the bar, and why."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from heftwright.domain.dose import Scheme
from heftwright.domain.mass import Mass, MassUnit
from heftwright.domain.sheet.sleeve import LoadedSleeve, PlateOnBar
from heftwright.domain.squad import AthleteId


@dataclass(frozen=True, slots=True)
class RopeChart:
    """Load against bar height over the athlete's own range of motion.

    Parameters
    ----------
    heights_m : tuple of float
        Bar heights from start to end, rising [m].
    bar_kg, total_kg : tuple of float
        Bar alone, and bar with bands or chains [kg], same length.
    sd_kg : tuple of float
        One standard deviation of the total [kg], same length.
    marks : tuple of (str, float)
        Named heights such as ``("floor", 0.225)``, ``("knee", 0.52)``, ``("lockout", 0.80)`` [m].
    max_kg : float
        The max the shares are of [kg].
    """

    heights_m: tuple[float, ...]
    bar_kg: tuple[float, ...]
    total_kg: tuple[float, ...]
    sd_kg: tuple[float, ...]
    marks: tuple[tuple[str, float], ...]
    max_kg: float


@dataclass(frozen=True, slots=True)
class LadderStep:
    """One step of a work-up: this round's load on this round's sleeve.

    Parameters
    ----------
    load : Mass
        Bar, collars and plates together.
    reps : int
        At this load.
    sleeve : LoadedSleeve
        With the change from the lifter before.
    round_number : int
        The platform's round in which it is lifted, from 1.
    """

    load: Mass
    reps: int
    sleeve: LoadedSleeve
    round_number: int


@dataclass(frozen=True, slots=True)
class LifterLine:
    """One athlete's work on a platform.

    Parameters
    ----------
    athlete, number, name
        Who; number and name always stand together.
    lift_name : str
        The lift, which may differ from the class's (substitution).
    scheme : Scheme
        Sets × reps and rest; of a work-up only its one top set.
    load : Mass
        Bar, collars and plates together; of a work-up the top set's.
    unit : MassUnit
        How this page shows masses.
    sleeve : LoadedSleeve or None
        The picture; None for implements not loaded like a bar.
    rig : str
        Bands or chains in words, or empty for straight weight.
    bottom_kg, top_kg, top_sd_kg : float
        Load at the bottom and at the top, and one sd of the top [kg].
    bar_share_pct, top_share_pct : float
        Of the max used [%].
    max_words : str
        For example ``"estimated 196 ± 6 kg"`` or ``"tested 215 kg, 19 days ago"``.
    is_estimated : bool
        Whether the max is an estimate; an estimate looks like an estimate.
    is_minor : bool
        Shown as a caution, never with a birth date.
    reasons, cautions : tuple of str
        Sentences; a caution needs the coach now.
    rope : RopeChart or None
        For the chart; None for straight weight.
    ladder : tuple of Mass
        Max-effort days: the loads of the work-up, lightest first, ending with ``load``; empty
        where every set has the same load.
    steps : tuple of LadderStep
        The work-up round by round, with sleeves; empty where every set has the same load.
    is_max_attempt : bool
        Whether the last set is an attempt at the day's top, which may speak for a max; not where
        the top is held down on purpose.
    notes : tuple of str
        What to bear in mind; nothing to decide.
    is_top_open : bool
        The steps stop light, and only the coach sets the top set.
    """

    athlete: AthleteId
    number: int
    name: str
    lift_name: str
    scheme: Scheme
    load: Mass
    unit: MassUnit
    sleeve: LoadedSleeve | None
    rig: str
    bottom_kg: float
    top_kg: float
    top_sd_kg: float
    bar_share_pct: float
    top_share_pct: float
    max_words: str
    is_estimated: bool
    is_minor: bool
    reasons: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    rope: RopeChart | None = None
    ladder: tuple[Mass, ...] = ()
    steps: tuple[LadderStep, ...] = ()
    is_max_attempt: bool = False
    notes: tuple[str, ...] = ()
    is_top_open: bool = False

    @property
    def sets(self) -> int:
        """How many sets are lifted: as many as the work-up has steps."""
        return len(self.steps) or len(self.ladder) or self.scheme.sets

    @property
    def is_work_up(self) -> bool:
        """Whether the load rises from set to set."""
        return bool(self.ladder)

    @property
    def work_words(self) -> str:
        """Sets × reps; of a work-up only what stands at the top: ``"work up to 1 × 3"``."""
        return f"work up to 1 × {self.scheme.reps}" if self.is_work_up else str(self.scheme)

    def in_round(self, number: int) -> LifterLine | None:
        """The line as it stands in one round of the platform; None where the athlete sits out.

        Parameters
        ----------
        number : int
            The round, from 1.
        """
        if self.steps:
            found = next((step for step in self.steps if step.round_number == number), None)
            if found is None:
                return None
            scheme = replace(self.scheme, reps=found.reps)
            return replace(self, load=found.load, sleeve=found.sleeve, scheme=scheme)
        if number > self.sets:
            return None
        load = self.load_of_set(number)
        return self if load == self.load else replace(self, load=load, sleeve=None)

    def load_of_set(self, set_number: int) -> Mass:
        """The load of one set: the same each set, or the work-up's step."""
        return self.ladder[self._place(set_number)] if self.ladder else self.load

    def reps_of_set(self, set_number: int) -> int:
        """The reps of one set: the same each set, or the work-up's step."""
        return self.steps[self._place(set_number)].reps if self.steps else self.scheme.reps

    def is_attempt(self, set_number: int) -> bool:
        """Whether this set is the day's top, or a repeat of it; a lighter step never is."""
        return self.is_max_attempt and set_number >= self.sets

    def _place(self, set_number: int) -> int:
        return min(max(set_number, 1), self.sets) - 1


@dataclass(frozen=True, slots=True)
class LastTurn:
    """A turn of the round that a platform finishes when it is planned again in its middle.

    Parameters
    ----------
    line : LifterLine
        Who, with the load and the change of that turn.
    set_number : int
        Which set.
    begins_s, ends_s : float
        Change and set together, after the start of the class [s].
    """

    line: LifterLine
    set_number: int
    begins_s: float
    ends_s: float


@dataclass(frozen=True, slots=True)
class PlatformSheet:
    """One platform's group in turn order.

    Parameters
    ----------
    key : str
        What is painted on the floor.
    bar_name, rig : str
        The platform's bar and band set-up in words.
    lifters : tuple of LifterLine
        In turn order; the sleeve of the first shows the change from the last.
    round_s : float
        One round of everybody's set [s].
    finish_min : float
        When this platform is done, minutes after the class starts [min].
    moves : int
        Plates moved over all rounds, both sides.
    rounds_s : tuple of float
        Length of each round where they differ [s]; empty where every round takes ``round_s``.
    turns_s : tuple of float
        Length of each turn of a round, change and set together [s]; empty: they share it evenly.
    done_sets : int
        Rounds that were over on this platform when the plan was made.
    usual_moves : int
        Max-effort days: plates moved for the same loads with the largest plates first; else 0.
    on_bar : tuple of PlateOnBar or None
        What is on the bar a side when the plan's first round begins; None: as the last turn of a
        round leaves it.
    finishing : tuple of LastTurn
        The rest of the round that was in progress when the plan was made.
    """

    key: str
    bar_name: str
    rig: str
    lifters: tuple[LifterLine, ...]
    round_s: float
    finish_min: float
    moves: int
    rounds_s: tuple[float, ...] = ()
    turns_s: tuple[float, ...] = ()
    done_sets: int = 0
    usual_moves: int = 0
    on_bar: tuple[PlateOnBar, ...] | None = None
    finishing: tuple[LastTurn, ...] = ()

    @property
    def sets(self) -> int:
        """Rounds of this platform from the start of the class."""
        if self.rounds_s:
            return len(self.rounds_s)
        return max((line.sets for line in self.lifters), default=0)

    @property
    def lift_names(self) -> str:
        """What is lifted here: where kit is scarce not everybody does the class's lift."""
        return " and ".join(dict.fromkeys(line.lift_name for line in self.lifters))

    def length_s(self, number: int) -> float:
        """How long one round takes, counted from 1 [s]."""
        return self.rounds_s[number - 1] if self.rounds_s else self.round_s

    @property
    def starts_empty(self) -> bool:
        """Whether the plan begins with a bare bar, so that the first turn only puts plates on."""
        return self.on_bar == ()

    def is_first_on_empty_bar(self, line: LifterLine) -> bool:
        """Whether this line's change is for its second set on: its first loads a bare bar."""
        return self.starts_empty and not line.is_work_up and line is self.lifters[0]

    @property
    def left_s(self) -> float:
        """From the plan's first round to the last [s]."""
        return sum(self.length_s(number) for number in range(self.done_sets + 1, self.sets + 1))


@dataclass(frozen=True, slots=True)
class Unplaced:
    """Somebody who has no bar tonight, with the sentence why and what to do."""

    athlete: AthleteId
    number: int
    name: str
    why: str


@dataclass(frozen=True, slots=True)
class SchemeLine:
    """One way of splitting the repetitions, against the clock.

    Parameters
    ----------
    scheme : Scheme
        Sets × reps and rest.
    words : str
        Finish, longest wait and set-ups in a sentence.
    is_chosen, is_recommended : bool
        The one that is planned; the one that fits the class and the phase best.
    """

    scheme: Scheme
    words: str
    is_chosen: bool
    is_recommended: bool


@dataclass(frozen=True, slots=True)
class ClassSheet:
    """Tonight's class.

    Parameters
    ----------
    gym, class_key, coach : str
        Whose class.
    on, starts_at, minutes
        When, and how long [min].
    slot_name, lift_name, wave_words : str
        For example ``"Dynamic-effort lower"``, ``"Block deadlift, 10 cm"``, ``"Week 2 of 3"``.
    why : tuple of str
        Why the season chose this lift for this week.
    platforms : tuple of PlatformSheet
        The floor.
    unplaced : tuple of Unplaced
        Nobody is dropped in silence.
    rep_work : tuple of str
        The work after the main lift, a line a station.
    floor_words : tuple of str
        What the plan saves and costs: moves, change time, finish, against the usual way.
    plan_version : int
        Rises with every plan of this class; every surface shows it.
    planned_at : datetime
        Aware; every surface shows the plan's age.
    caution : str
        The closing caution.
    schemes : tuple of SchemeLine
        Ways of splitting the repetitions against the clock; empty where there is one way only.
    saved_words : str
        Plate moves and what the plan saves against the usual way, short enough for the board.
    """

    gym: str
    class_key: str
    coach: str
    on: date
    starts_at: time
    minutes: int
    slot_name: str
    lift_name: str
    wave_words: str
    why: tuple[str, ...]
    platforms: tuple[PlatformSheet, ...]
    unplaced: tuple[Unplaced, ...]
    rep_work: tuple[str, ...]
    floor_words: tuple[str, ...]
    plan_version: int
    planned_at: datetime
    caution: str
    schemes: tuple[SchemeLine, ...] = ()
    saved_words: str = ""

    @property
    def lift_names(self) -> tuple[str, ...]:
        """The class's lift, and others that a quarter of the lifters or more do instead."""
        counted = Counter(line.lift_name for item in self.platforms for line in item.lifters)
        least = max(1, counted.total() / 4)
        others = [name for name, count in counted.most_common() if count >= least]
        return (self.lift_name, *(name for name in others if name != self.lift_name))

    def line_of(self, athlete: AthleteId) -> tuple[PlatformSheet, LifterLine] | None:
        """The platform and line of one athlete, or None if unplaced or not here."""
        for platform in self.platforms:
            for line in platform.lifters:
                if line.athlete == athlete:
                    return platform, line
        return None


CLOSING_CAUTION = (
    "Your coach decides. Follow the maker's limits and local rules. Pain or illness: stop, and "
    "see a licensed professional."
)
MAX_EFFORT_CAUTION = (
    "Heavy lifts: spotters or pins set, collars on; stop at the first miss or when the bar slows."
)
BAND_CAUTION = (
    "Bands under tension: check pegs, loops and collars before every set; keep faces out of the "
    "line of pull; never let go of a stretched band."
)
CHAIN_CAUTION = (
    "Chains are heavy and swing: two people hang them, one at each end; hands and feet out from "
    "under them; look every link, leader and clip over first."
)
