"""A change that a lesson makes, as a reason."""

from __future__ import annotations

from balewright.cause.learn.lesson import LinkChange, RateChange
from balewright.quantities.reason import Reason, because


def change_said(change: RateChange | LinkChange) -> Reason:
    """What moves from where to where, and what it rests on."""
    if isinstance(change, RateChange):
        return because(
            "cause.lesson.rate",
            count=len(change.cases),
            bales=change.run_bales,
            before_per_1000=change.before_per_1000.best,
            after_per_1000=change.after_per_1000.best,
        )
    return because(
        "cause.lesson.link",
        count=len(change.cases),
        seen=change.seen,
        before_frac=change.before_frac.best,
        after_frac=change.after_frac.best,
    )
