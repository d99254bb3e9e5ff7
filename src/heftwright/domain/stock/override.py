"""Going over a maker's limit for one day: who allowed it, up to what, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from heftwright.domain.mass import Mass
from heftwright.domain.stock.gear import StockError

LEAST_REASON = 10
RATED_KINDS = ("bar", "block", "platform")


@dataclass(frozen=True, slots=True)
class RatingOverride:
    """The owner's word that one thing may carry more than its rating on one day.

    Parameters
    ----------
    kind : str
        ``"bar"``, ``"block"`` or ``"platform"`` (its rack).
    item : str
        Key of the thing.
    up_to : Mass
        The total, with bands or chains at the top, that is allowed.
    on : date
        That day only.
    who, why : str
        Name, and a reason in words.
    given_for : Mass or None
        The maker's limit that stood when it was given; None: not on record, as given by older
        versions.
    """

    kind: str
    item: str
    up_to: Mass
    on: date
    who: str
    why: str
    given_for: Mass | None = None

    def __post_init__(self) -> None:
        if self.kind not in RATED_KINDS:
            raise StockError(
                f"“{self.kind}” has no rating: choose one of {', '.join(RATED_KINDS)}."
            )
        if self.up_to.ticks <= 0:
            raise StockError("Say up to how much it may be loaded that day, above 0.")
        if not self.who.strip() or len(self.why.strip()) < LEAST_REASON:
            raise StockError(
                "Going over a maker's limit takes a name and a reason in words: what was checked, "
                "and by whom."
            )

    @property
    def key(self) -> str:
        """One a thing and day."""
        return f"{self.on.isoformat()}/{self.kind}/{self.item}"

    def allows(self, kind: str, item: str, today: date) -> bool:
        """Whether it is about this thing today."""
        return (self.kind, self.item, self.on) == (kind, item, today)

    def holds_for(self, rating: Mass) -> bool:
        """Whether it counts with the limit on record now: one lowered since takes it along."""
        return self.given_for is None or rating >= self.given_for
