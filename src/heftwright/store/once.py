"""What one page reads more than once is read once: a memory for the length of one request.

It is off outside a page, and from the moment a verb takes the gym's lock, so that nothing that
writes ever decides on something remembered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

_KNOWN: ContextVar[dict[Any, Any] | None] = ContextVar("known_in_this_request", default=None)


@contextmanager
def one_reading() -> Iterator[None]:
    """Remember what ``once`` functions return until the end of the block."""
    token = _KNOWN.set({})
    try:
        yield
    finally:
        _KNOWN.reset(token)


def stop_remembering() -> None:
    """From here on everything is read anew; called before anything is written."""
    _KNOWN.set(None)


def once(function: Callable[P, R]) -> Callable[P, R]:
    """A read whose value never changes within one page; its arguments must be hashable."""

    @wraps(function)
    def remembered(*args: P.args, **kwargs: P.kwargs) -> R:
        known = _KNOWN.get()
        if known is None:
            return function(*args, **kwargs)
        key = (function, args, tuple(sorted(kwargs.items())))
        if key not in known:
            known[key] = function(*args, **kwargs)
        found: R = known[key]
        return found

    return remembered
