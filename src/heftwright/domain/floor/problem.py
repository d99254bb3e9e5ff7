"""The floor problem: who lifts what, where, with which plates and bands, and at what price.

Nothing here knows where the numbers come from: targets may be straight weight (then every lifter
has the one set-up ``"straight"``), banded, or typed in by the coach.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from heftwright.domain.dose import Scheme
from heftwright.domain.floor.policy import FloorPolicy
from heftwright.domain.mass import Mass
from heftwright.domain.refusal import Refusal
from heftwright.domain.squad import AthleteId

STRAIGHT = "straight"
MAX_LIFTERS = 120
MAX_SET_UPS = 60
LONGEST_STEP_S = 600.0


class FloorProblemError(Refusal):
    """A floor problem that cannot be true."""


def _seconds(name: str, value: float) -> None:
    if not 0 <= value <= LONGEST_STEP_S:
        raise FloorProblemError(f"{name} of {value:g} s is outside 0–600 s: check the times.")


@dataclass(frozen=True, slots=True)
class FloorTimes:
    """How long things take; defaults to edit, then to learn from the gym's own log.

    Parameters
    ----------
    collars_s : float
        Every change of a bar: collars off and on, look and check [s]; 10 s is common practice,
        no source.
    set_up_s : float
        The lifter steps in and sets up [s].
    per_rep_s, fixed_s : float
        One repetition; breath and brace once a set [s].
    """

    collars_s: float = 10.0
    set_up_s: float = 8.0
    per_rep_s: float = 3.0
    fixed_s: float = 4.0

    def __post_init__(self) -> None:
        for name in ("collars_s", "set_up_s", "per_rep_s", "fixed_s"):
            _seconds(name, getattr(self, name))

    def set_s(self, reps: int) -> float:
        """One set of ``reps`` repetitions under the bar [s]."""
        return self.fixed_s + self.per_rep_s * reps


@dataclass(frozen=True, slots=True)
class FloorPlate:
    """Pairs of one kind of plate.

    Parameters
    ----------
    key : str
        Stock key.
    mass : Mass
        Of ONE plate, as weighed.
    pairs : int
        Pairs at hand tonight, ≥ 0.
    is_full_diameter : bool
        Whether it holds the bar at floor height.
    on_s, off_s : float
        One of each side put on, taken off [s]; 6 s is common practice, no source.
    thickness_mm : float
        How much sleeve it takes [mm]; 0 where it was not measured.
    """

    key: str
    mass: Mass
    pairs: int
    is_full_diameter: bool = True
    on_s: float = 6.0
    off_s: float = 6.0
    thickness_mm: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.thickness_mm <= 300:
            raise FloorProblemError(f"Plate “{self.key}”: thickness is outside 0–300 mm.")
        if self.mass.ticks <= 0:
            raise FloorProblemError(f"Plate “{self.key}”: its mass must be above 0: weigh it.")
        if self.pairs < 0:
            raise FloorProblemError(f"Plate “{self.key}”: pairs must be 0 or more.")
        _seconds(f"Plate “{self.key}”: putting on", self.on_s)
        _seconds(f"Plate “{self.key}”: taking off", self.off_s)

    @property
    def round_trip_s(self) -> float:
        """Put on once and taken off once [s]."""
        return self.on_s + self.off_s


@dataclass(frozen=True, slots=True)
class FloorSetUp:
    """One way a platform is rigged for the whole class.

    Parameters
    ----------
    key : str
        Steady name; ``"straight"`` for no bands.
    bands : Mapping
        Band key -> pairs it takes from the stock.
    name : str
        In words, for people; the key if empty.
    """

    key: str
    bands: Mapping[str, int] = field(default_factory=dict)
    name: str = ""

    def __post_init__(self) -> None:
        if any(pairs < 1 for pairs in self.bands.values()):
            raise FloorProblemError(f"Set-up “{self.key}”: it must take 1 or more of each band.")
        object.__setattr__(self, "bands", MappingProxyType(dict(self.bands)))


@dataclass(frozen=True, slots=True)
class FloorPlatform:
    """A platform with its bar for tonight.

    Parameters
    ----------
    key : str
        What is painted on the floor.
    bar : str
        Implement kind of the bar on it, for example ``"bar"`` or ``"axle"``.
    empty_bar : Mass
        Bar with both collars, as weighed.
    has_rack : bool
        Whether the lift can start from a rack here.
    set_ups : frozenset of str or None
        Set-ups that its pegs allow; None: all.
    is_near_coach : bool
        Whether the coach stands here.
    sleeve_mm : float or None
        Length of one end for plates, less the collar [mm]; None where it was not measured.
    starts_on_floor : bool or None
        Whether the bar stands on its plates here, on an evening where some squat while others
        pull; None: as the policy says for the whole floor.
    """

    key: str
    bar: str
    empty_bar: Mass
    has_rack: bool = True
    set_ups: frozenset[str] | None = None
    is_near_coach: bool = False
    sleeve_mm: float | None = None
    starts_on_floor: bool | None = None

    def __post_init__(self) -> None:
        if self.empty_bar.ticks <= 0:
            raise FloorProblemError(f"Platform {self.key}: weigh its bar with the collars.")

    def allows(self, set_up: str) -> bool:
        """Whether the pegs here allow a set-up."""
        return self.set_ups is None or set_up in self.set_ups


@dataclass(frozen=True, slots=True)
class Lifter:
    """An athlete with tonight's lift.

    Parameters
    ----------
    athlete : AthleteId
        Who.
    target : Mass
        Wanted total of bar, collars and plates.
    max_kg : float
        The max that tolerance and deviation are measured in [kg], > 0.
    bar : str
        Implement kind wanted.
    set_ups : Mapping
        Set-up key -> price of using it [s of class time]: 0 within the wanted range of top
        share, more outside; absent or None: impossible.
    tolerance_ratio : float
        Allowed deviation of the load from target as a share of max, 0–0.2; with no loadable
        weight inside, the nearest one at or below target.
    never_above : bool
        Whether the tolerance goes down only, as for the top set of a max-effort day.
    together, apart : frozenset of AthleteId
        Would like to share a platform; must not.
    wants_coach_near, is_beginner, needs_rack : bool
        Near the coach if possible; not among beginners only; only where there is a rack.
    is_minor : bool
        Under 18, or no birth date: never alone where a partner is possible.
    name : str
        For sentences; the id if empty.
    stay_weight : float
        How many times the usual price of moving this athlete when re-planning, 0–100; high where
        the coach put them there by hand.
    """

    athlete: AthleteId
    target: Mass
    max_kg: float
    bar: str
    set_ups: Mapping[str, float | None] = field(default_factory=lambda: {STRAIGHT: 0.0})
    tolerance_ratio: float = 0.025
    never_above: bool = False
    together: frozenset[AthleteId] = frozenset()
    apart: frozenset[AthleteId] = frozenset()
    wants_coach_near: bool = False
    is_beginner: bool = False
    needs_rack: bool = False
    is_minor: bool = False
    name: str = ""
    stay_weight: float = 1.0

    def __post_init__(self) -> None:
        if not 0 < self.max_kg <= 1000:
            raise FloorProblemError(f"{self.called}: max {self.max_kg:g} kg is outside 0–1000 kg.")
        if not 0 < self.target.in_kg <= 1000:
            raise FloorProblemError(f"{self.called}: target {self.target} is outside 0–1000 kg.")
        if not 0 <= self.stay_weight <= 100:
            raise FloorProblemError(f"{self.called}: the weight of staying is outside 0–100.")
        if not 0 <= self.tolerance_ratio <= 0.2:
            raise FloorProblemError(f"{self.called}: tolerance is outside 0–20 % of max.")
        possible = {key: price for key, price in self.set_ups.items() if price is not None}
        if any(price < 0 for price in possible.values()):
            raise FloorProblemError(f"{self.called}: a set-up's price must be 0 or more.")
        object.__setattr__(self, "set_ups", MappingProxyType(possible))

    @property
    def called(self) -> str:
        """The name in sentences."""
        return self.name or self.athlete

    @property
    def tolerance(self) -> Mass:
        """Allowed deviation, down and, where it may, up."""
        return Mass.nearest_kg(self.tolerance_ratio * self.max_kg, "0.000001")

    @property
    def heaviest(self) -> Mass:
        """The most that may be loaded."""
        return self.target if self.never_above else self.target + self.tolerance

    def deviation_pct(self, load: Mass) -> float:
        """How far a load is from target [% of max]."""
        return abs(load.in_kg - self.target.in_kg) / self.max_kg * 100


@dataclass(frozen=True, slots=True)
class FloorProblem:
    """Tonight's floor.

    Parameters
    ----------
    lifters, platforms, plates, set_ups
        Who and what is there; keys are unique.
    bands : Mapping
        Band key -> pairs in stock.
    schemes : tuple of Scheme
        Options in the order the phase of training prefers; at least one.
    chosen : Scheme or None
        The one to plan for; None: the first.
    class_minutes : float or None
        Time for this slot [min]; None: not limited.
    times, policy
        How long things take; what matters most.
    """

    lifters: tuple[Lifter, ...]
    platforms: tuple[FloorPlatform, ...]
    plates: tuple[FloorPlate, ...]
    set_ups: tuple[FloorSetUp, ...] = (FloorSetUp(STRAIGHT),)
    bands: Mapping[str, int] = field(default_factory=dict)
    schemes: tuple[Scheme, ...] = (Scheme(12, 2, 45),)
    chosen: Scheme | None = None
    class_minutes: float | None = None
    times: FloorTimes = FloorTimes()
    policy: FloorPolicy = FloorPolicy()

    def __post_init__(self) -> None:
        _once("athlete", [lifter.athlete for lifter in self.lifters])
        _once("platform", [platform.key for platform in self.platforms])
        _once("plate", [plate.key for plate in self.plates])
        _once("set-up", [set_up.key for set_up in self.set_ups])
        if not self.schemes:
            raise FloorProblemError("Give at least one scheme of sets × reps for this slot.")
        if len(self.set_ups) > MAX_SET_UPS:
            raise FloorProblemError(
                f"{len(self.set_ups)} set-ups are more than {MAX_SET_UPS}: keep those in use."
            )
        if len(self.lifters) > MAX_LIFTERS:
            raise FloorProblemError(
                f"{len(self.lifters)} lifters in one class is more than {MAX_LIFTERS}: split it."
            )
        object.__setattr__(self, "bands", MappingProxyType(dict(self.bands)))
        self._check_names()

    def _check_names(self) -> None:
        known = {set_up.key for set_up in self.set_ups}
        for lifter in self.lifters:
            unknown = set(lifter.set_ups) - known
            if unknown:
                raise FloorProblemError(
                    f"{lifter.called}: set-up “{min(unknown)}” is not among tonight's set-ups."
                )
        for set_up in self.set_ups:
            missing = set(set_up.bands) - set(self.bands)
            if missing:
                raise FloorProblemError(
                    f"Set-up “{set_up.key}” takes band “{min(missing)}”, which is not in stock: "
                    "count it (0 is a count) or drop the set-up."
                )

    @property
    def scheme(self) -> Scheme:
        """The scheme that is planned."""
        return self.chosen or self.schemes[0]

    @property
    def set_s(self) -> float:
        """One set under the bar [s]."""
        return self.times.set_s(self.scheme.reps)

    def lifter(self, athlete: AthleteId) -> Lifter:
        """The lifter with this id.

        Raises
        ------
        FloorProblemError
            If the athlete is not in tonight's class.
        """
        for lifter in self.lifters:
            if lifter.athlete == athlete:
                return lifter
        raise FloorProblemError(f"Athlete {athlete} is not in this class: add them first.")

    def platform(self, key: str) -> FloorPlatform:
        """The platform with this key.

        Raises
        ------
        FloorProblemError
            If there is none.
        """
        for platform in self.platforms:
            if platform.key == key:
                return platform
        raise FloorProblemError(f"There is no platform {key} tonight.")

    def is_from_floor(self, platform: FloorPlatform) -> bool:
        """Whether the bar of a platform stands on its plates."""
        own = platform.starts_on_floor
        return self.policy.starts_on_floor if own is None else own

    def plates_by_key(self) -> dict[str, FloorPlate]:
        """Plates by stock key."""
        return {plate.key: plate for plate in self.plates}

    def set_ups_by_key(self) -> dict[str, FloorSetUp]:
        """Set-ups by key."""
        return {set_up.key: set_up for set_up in self.set_ups}


def _once(what: str, keys: list[str] | list[AthleteId]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise FloorProblemError(f"The {what} {key} is listed twice: keep one.")
        seen.add(key)
