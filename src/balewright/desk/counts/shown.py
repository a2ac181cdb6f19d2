"""A machine's account of counts as lines of a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from balewright.desk.reading import say_here
from balewright.flows.account_counts import CountsTold
from balewright.flows.read_rolls import RollsTold
from balewright.quantities.reason import because
from balewright.records.counts.counter import Counter
from balewright.words.counting import name_counter, say_runs, sums_of

SHOWN: Final = 60
"""Lines of one table; `balewright counts` prints all."""


def show_counts(told: CountsTold) -> dict[str, Any]:
    """What the page needs of the account, in the order it stands there."""
    account = told.account
    counters, swaps = account.counters, len(account.swaps.placed)
    repeats = [(one, told.files.get(one.number, ())) for one in _all(counters, "repeats")]
    return {
        "account": account,
        "counters": [(one, say_here(name_counter(one, swaps))) for one in counters],
        "sums": [say_here(one) for one in sums_of(account)],
        "why_least": [say_here(because(f"counting.least.{key}")) for key in account.lifetime.why],
        "gaps": _cut([(gap, say_runs([gap])) for gap in _all(counters, "gaps")]),
        "leaps": _cut([(gap, say_runs([gap])) for gap in _all(counters, "leaps")]),
        "repeats": _cut(repeats),
        "steps": _cut(_all(counters, "steps_back")),
        "junk": _cut(_all(counters, "junk")),
        "special": _cut(account.odd),
        "specials": [account.odd_count(status) for status in ("burst", "test", "re-wrapped")],
    }


def show_rolls(rolls: RollsTold) -> list[dict[str, Any]]:
    """Each range of a roll as a line."""
    return [{"one": one, "numbers": say_runs(one.numbers)} for one in rolls.ranges]


def _all(counters: Sequence[Counter], name: str) -> list[Any]:
    return [one for counter in counters for one in getattr(counter, name)]


def _cut(lines: Sequence[Any]) -> dict[str, Any]:
    """The first SHOWN lines, and how many more there are."""
    return {"lines": lines[:SHOWN], "more": max(0, len(lines) - SHOWN)}
