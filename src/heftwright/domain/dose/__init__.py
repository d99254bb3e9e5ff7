"""Sets × reps: zone tables, waves, schemes and ramps."""

from heftwright.domain.dose.scheme import Scheme, SchemeError

__all__ = ["Scheme", "SchemeError"]
