"""Batches of film and net as the last daily review compared them: a page only looks them up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final

from balewright.findings.rolls_compared import RollCompared
from balewright.flows.admit_findings import discovery_rule
from balewright.flows.workplace import Workplace
from balewright.quantities.interval import Interval

BATCHES: Final = "findings.batches"
"""Key under which the comparison is kept."""
MOST: Final = 500
"""Batches that are kept, the worst first."""


@dataclass(frozen=True)
class KeptBatches:
    """compared: worst first, at most MOST; at: when; left_out: how many more there were."""

    compared: tuple[RollCompared, ...]
    at: datetime
    left_out: int


def keep_batches(workplace: Workplace, compared: Sequence[RollCompared]) -> None:
    """Keep a comparison in place of the one before."""
    body = {
        "rows": [asdict(one) for one in compared[:MOST]],
        "left_out": max(0, len(compared) - MOST),
    }
    workplace.register.save_rule(BATCHES, body, workplace.clock())


def load_batches(workplace: Workplace) -> KeptBatches | None:
    """The last comparison, None where the fleet was never reviewed."""
    kept = workplace.register.load_rule(BATCHES)
    if kept is None:
        return None
    rows = tuple(_compared(row) for row in kept.body["rows"])
    return KeptBatches(rows, kept.set_at, int(kept.body["left_out"]))


def batches_worse(workplace: Workplace) -> tuple[RollCompared, ...]:
    """Of those the ones that break more than the rest, by the share of false ones in force."""
    kept, rule = load_batches(workplace), discovery_rule(workplace)
    if kept is None:
        return ()
    return tuple(one for one in kept.compared if one.told_frac <= rule.rate_frac)


def _compared(row: dict[str, Any]) -> RollCompared:
    times = row["times"]
    ends = {"breaks_bale": Interval(**row["breaks_bale"]),
            "times": None if times is None else Interval(**times)}  # fmt: skip
    return RollCompared(**(row | ends))
