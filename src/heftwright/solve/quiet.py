"""HiGHS without its banner, which it prints on standard output before it can be told not to."""

from __future__ import annotations

import ctypes
import os
import sys
from functools import cache
from typing import Any

STANDARD_OUTPUT = 1


def quiet_highs() -> Any:
    """A new HiGHS solver that writes nothing; machine-readable output stays clean."""
    import highspy

    _first(highspy)
    highs = highspy.Highs()  # type: ignore[no-untyped-call]
    is_loud = False
    highs.setOptionValue("output_flag", is_loud)
    return highs


@cache
def _first(highspy: Any) -> None:
    """Makes the process's first solver, whose banner goes nowhere."""
    try:
        kept = os.dup(STANDARD_OUTPUT)
    except OSError:
        return  # no standard output, nothing to keep clean
    sys.stdout.flush()
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, STANDARD_OUTPUT)
        highspy.Highs()
        ctypes.CDLL(None).fflush(None)
    finally:
        os.dup2(kept, STANDARD_OUTPUT)
        os.close(kept)
        os.close(nowhere)
