"""What the house says when it will not go on: a sentence with what, where and what to do."""


class Refusal(ValueError):  # noqa: N818 - a refusal is the trade-side word; subclasses end in Error
    """A clear 'no' for a person to read: what is wrong, where, and what to do.

    Every error that a coach or athlete may meet derives from this class, so that each door can
    show its sentence instead of a trace.
    """


class NotFoundError(Refusal):
    """Something named by a key is not there, or not this gym's to see."""
