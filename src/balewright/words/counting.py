"""Accounts of counts, splits and rolls in words: shared by the desk and the commands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from balewright.quantities.reason import Reason, because
from balewright.records.counts.account import CountAccount
from balewright.records.counts.counter import Counter, Gap
from balewright.records.fields.misplaced import Misplaced
from balewright.records.number_runs import NumberRun


def say_runs(runs: Iterable[NumberRun | Gap]) -> str:
    """`812 to 845, 847`."""
    ends = (
        (run.first, run.last) if isinstance(run, NumberRun) else (run.first_no, run.last_no)
        for run in runs
    )
    return ", ".join(str(a) if a == b else f"{a} to {b}" for a, b in ends)


def name_counter(counter: Counter, swaps: int) -> Reason:
    """Which counter; swaps: how many were told of the machine."""
    if counter.epoch is not None:
        return because("counting.counter.epoch", epoch=str(counter.epoch))
    if counter.period is None:
        return because("counting.counter.untimed")
    if not swaps:
        return because("counting.counter.one")
    if counter.period == 0:
        return because("counting.counter.first")
    return because("counting.counter.period", swaps=counter.period)


def sums_of(account: CountAccount) -> tuple[Reason, ...]:
    """Every sum of the account as a plain equation; the sum of bales only where it says more."""
    found = []
    for one in account.counters:
        found.append(_sum_of_numbers(one))
        if one.only_passes or one.further:
            found.append(
                because(
                    "counting.sum.bales",
                    numbers=str(one.numbers),
                    only_passes=str(one.only_passes),
                    further=str(one.further),
                    bales=str(one.bales),
                )
            )
    counted = " + ".join(str(one.bales) for one in account.counters) or "0"
    found.append(
        because(
            "counting.sum.all",
            counted=counted,
            unnumbered=str(account.unnumbered),
            recorded=str(account.recorded),
        )
    )
    return tuple(found)


def _sum_of_numbers(one: Counter) -> Reason:
    return because(
        "counting.sum.numbers",
        numbers=str(one.numbers),
        missing=str(one.missing),
        leapt=str(one.leapt),
        span=str(one.span),
        first_no=str(one.first_no),
        last_no=str(one.last_no),
    )


def headline(found: Misplaced) -> Reason:
    """`41 bales of job A lie in field B`."""
    if found.lies_in is not None:
        return because("misplaced.line", bales=found.bales, job=found.job, field=found.lies_in)
    other = found.belongs_to or ""
    return because("misplaced.line.cloud", bales=found.bales, job=found.job, belongs_to=other)


def placed_by_time(found: Misplaced) -> Iterator[Reason]:
    """How many of them the neighbours in time had to place."""
    if found.on_border:
        yield because("misplaced.on_border", bales=found.on_border)
    if found.by_time:
        yield because("misplaced.by_time", bales=found.by_time)
