"""What a gym's coach has set about doses and strain, in one value; defaults are said as such."""

from __future__ import annotations

from dataclasses import dataclass, field

from heftwright.domain.dose.health_guards import PainRules
from heftwright.domain.dose.zones import ZoneTable, ZoneTableError, load_zone_tables
from heftwright.domain.prescription.policy import LoadPolicy
from heftwright.domain.strain.week import SdConvention, Seed

DEFAULT_ZONES = "B"


@dataclass(frozen=True, slots=True)
class CoachSettings:
    """The coach's settings.

    Parameters
    ----------
    policy : LoadPolicy
        Tolerances, easy weeks, minors, beginners.
    zone_table : str
        Which print of the zone table volume is held against.
    pain : PainRules
        From which score the coach is asked and the lift stops.
    sd : SdConvention
        Which standard deviation monotony is taken of.
    seed : Seed
        How moving averages start.
    key : str
        There is one a gym.
    """

    policy: LoadPolicy = field(default_factory=LoadPolicy)
    zone_table: str = DEFAULT_ZONES
    pain: PainRules = field(default_factory=PainRules)
    sd: SdConvention = SdConvention.POPULATION
    seed: Seed = Seed.FIRST_LOAD
    key: str = "gym"

    def __post_init__(self) -> None:
        if self.zone_table not in load_zone_tables():
            known = ", ".join(load_zone_tables())
            raise ZoneTableError(f"There is no zone table “{self.zone_table}”: one of {known}.")

    @property
    def zones(self) -> ZoneTable:
        """The table itself."""
        return load_zone_tables()[self.zone_table]
