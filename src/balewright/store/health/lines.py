"""One thing that was looked at, and what was seen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from balewright.quantities.reason import Reason, ReasonValue, because


class HealthState(StrEnum):
    """How it is: good; look (works, but somebody should); broken; unknown (could not be seen)."""

    GOOD = "good"
    LOOK = "look"
    BROKEN = "broken"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class HealthLine:
    """key: what was looked at; said: what was seen; cure: how to mend it, None when good."""

    key: str
    state: HealthState
    said: Reason
    cure: Reason | None = None


def good(key: str, **values: ReasonValue) -> HealthLine:
    """All is well; `health.<key>.good` says so."""
    return HealthLine(key, HealthState.GOOD, because(f"health.{key}.good", **values))


def wrong(key: str, state: HealthState, what: str, **values: ReasonValue) -> HealthLine:
    """Something is not; `health.<key>.<what>` says it, `health.<key>.<what>.cure` mends it."""
    said = because(f"health.{key}.{what}", **values)
    return HealthLine(key, state, said, because(f"health.{key}.{what}.cure", **values))
