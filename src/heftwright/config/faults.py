"""How an unforeseen fault is written to standard error: where it arose, nothing of what was sent.

An address may hold an athlete's link, and an error's own words a note about their health; so a
fault is told by the address's pattern, the kinds of error and the lines of code they came through.
"""

from __future__ import annotations

import logging
import traceback
from collections.abc import Iterator
from typing import Any

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"fault": {"()": "heftwright.config.faults.FaultFormatter"}},
    "handlers": {
        "stderr": {"class": "logging.StreamHandler", "level": "ERROR", "formatter": "fault"}
    },
    "loggers": {
        "django.request": {"handlers": ["stderr"], "level": "ERROR", "propagate": False},
    },
}


class FaultFormatter(logging.Formatter):
    """A record of Django's request log as time, method, address pattern and traceback."""

    def format(self, record: logging.LogRecord) -> str:
        """The words for one fault; never a body, a link's secret or an error's own message."""
        head = f"{self.formatTime(record)} fault in {_called(getattr(record, 'request', None))}"
        error = record.exc_info[1] if record.exc_info else None
        return "\n".join((head, *(_chain(error) if error else ())))


def _called(request: Any) -> str:
    match = getattr(request, "resolver_match", None)
    pattern = match.route if match else "an address unknown"
    return f"{getattr(request, 'method', '?')} /{pattern}" if request else "the server"


def _chain(error: BaseException) -> Iterator[str]:
    """The innermost error first, as Python prints it."""
    before = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
    if before is not None:
        yield from _chain(before)
        yield "and from it:"
    yield "".join(traceback.format_tb(error.__traceback__)).rstrip("\n")
    yield type(error).__qualname__
