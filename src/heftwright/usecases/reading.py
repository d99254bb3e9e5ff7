"""A page that only looks: what it asks for more than once is read once."""

from heftwright.store.once import one_reading

__all__ = ["one_reading"]
