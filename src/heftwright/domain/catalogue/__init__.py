"""Lifts, implements, body regions and contest-event families: names and properties as data."""

from heftwright.domain.catalogue.lift import (
    BarPathKind,
    Catalogue,
    DynamicForm,
    Lift,
    LiftKey,
    UnknownLiftError,
    load_catalogue,
)
from heftwright.domain.catalogue.words import (
    EventFamily,
    Implement,
    KitKey,
    MaxEffortScheme,
    Pattern,
    Region,
    Resistance,
    Slot,
    WeakPoint,
)

__all__ = [
    "BarPathKind",
    "Catalogue",
    "DynamicForm",
    "EventFamily",
    "Implement",
    "KitKey",
    "Lift",
    "LiftKey",
    "MaxEffortScheme",
    "Pattern",
    "Region",
    "Resistance",
    "Slot",
    "UnknownLiftError",
    "WeakPoint",
    "load_catalogue",
]
