"""Sets × reps: zone tables, waves, schemes, ramps, rep work and guards."""

from heftwright.domain.dose.ramp import Ramp, RampError, RampRole, RampStep, make_chance, ramp
from heftwright.domain.dose.scheme import Scheme, SchemeError
from heftwright.domain.dose.schemes import (
    SchemeOption,
    SchemeStyle,
    factorisations,
    scheme_for,
    taper,
)
from heftwright.domain.dose.waves import (
    WAVE_TEMPLATES,
    WaveError,
    WaveStep,
    WaveTemplate,
    step_for,
    template_for,
)

__all__ = [
    "WAVE_TEMPLATES",
    "Ramp",
    "RampError",
    "RampRole",
    "RampStep",
    "Scheme",
    "SchemeError",
    "SchemeOption",
    "SchemeStyle",
    "WaveError",
    "WaveStep",
    "WaveTemplate",
    "factorisations",
    "make_chance",
    "ramp",
    "scheme_for",
    "step_for",
    "taper",
    "template_for",
]
