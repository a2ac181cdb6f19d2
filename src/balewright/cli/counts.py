"""`balewright counts`: what became of every number of a machine, and swaps of its control."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.account_counts import CountsTold
    from balewright.flows.workplace import Workplace
    from balewright.records.counts.account import LifetimeCount
    from balewright.records.counts.counter import Counter, Gap


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `counts`."""
    parser.add_argument("machine", help="its serial")
    parser.add_argument(
        "--swapped", nargs=2, type=int, metavar=("LAST", "FIRST"),
        help="keep that the control was swapped between these two bale numbers",
    )  # fmt: skip
    parser.add_argument("--note", default="", help="why, beside --swapped")
    parser.add_argument(
        "--take-back", metavar="TIME", help="take back a swap told at that time (see the list)"
    )
    parser.add_argument(
        "--strike", type=int, metavar="NUMBER",
        help="say that a number which leapt off is no count; its bale stays, without a number",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.account_counts import account_counts
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    said = _do(workplace, options)
    told = account_counts(workplace, options.machine)
    if options.json:
        print_json("counts", _as_json(told))
        return GOOD
    for line in (*said, *_lines(told)):
        print(line)
    return GOOD


def _do(workplace: Workplace, options: argparse.Namespace) -> list[str]:
    """What was asked to be told, and what to say of it."""
    from balewright.flows.strike_number import strike_number
    from balewright.flows.tell_swap import SwapAsked, take_swap_back, tell_swap

    said = []
    if options.swapped:
        last_no, first_no = options.swapped
        tell_swap(workplace, SwapAsked(options.machine, last_no, first_no, options.note))
        said.append(_say("counting.told", last_no=str(last_no), first_no=str(first_no)))
    if options.take_back:
        take_swap_back(workplace, options.machine, _time_us(options.take_back))
        said.append(_say("counting.taken_back", at=options.take_back))
    if options.strike is not None:
        struck = strike_number(workplace, options.machine, options.strike)
        said.append(_say("counting.struck", number=str(options.strike), bales=struck.bales))
    return said


def _time_us(given: str) -> int:
    from balewright.words.iso_times import read_time

    found = read_time(given)
    if found is None:
        need, cure = "a time such as 2031-06-14T09:11:00Z", "Copy it from the list of swaps."
        raise BadInput(Fault("--take-back", need, repr(given), cure))
    return found


def _lines(told: CountsTold) -> Iterator[str]:
    from balewright.words.counting import name_counter, sums_of
    from balewright.words.say import say

    account = told.account
    yield _lifetime(account.lifetime)
    for key in account.lifetime.why:
        yield f"  {_say(f'counting.least.{key}')}"
    names = ("burst", "test", "re-wrapped")
    burst, test, rewrapped = (account.odd_count(name) for name in names)
    yield _say("counting.odd", burst=burst, test=test, rewrapped=rewrapped)
    for reason in sums_of(account):
        yield say(reason)
    for swap in account.swaps.placed:
        yield _say("counting.swap", at=_moment(swap.at_us), note=swap.note or "-")
    for number in account.swaps.unplaced:
        yield _say("counting.unplaced", number="-" if number is None else str(number))
    for counter in account.counters:
        if len(account.counters) > 1:
            yield f"{say(name_counter(counter, len(account.swaps.placed)))}:"
        yield from _odd_lines(counter, told)


def _odd_lines(counter: Counter, told: CountsTold) -> Iterator[str]:
    from balewright.words.counting import say_runs

    for key, gaps in (("missing", counter.gaps), ("leapt", counter.leaps)):
        for gap in gaps:
            yield f"  {_say(f'counting.{key}', numbers=say_runs([gap]), **_window(gap))}"
    for one in counter.repeats:
        times = ", ".join(_moment(at) for at in one.times_us) or _moment(None)
        values: dict[str, ReasonValue] = {"rows": one.rows, "bales": one.bales, "times": times}
        files = ", ".join(told.files.get(one.number, ()))
        where = _say("counting.repeat.files", files=files) if files else ""
        yield f"  {_say('counting.repeat', number=str(one.number), **values)}{where}"
    for step in counter.steps_back:
        key = "back.job" if step.is_swap and step.job_changed else "back.swap"
        key = key if step.is_swap else "back"
        numbers = {"from_no": str(step.from_no), "to_no": str(step.to_no)}
        yield f"  {_say(f'counting.{key}', at=_moment(step.at_us), **numbers)}"
    for junk in counter.junk:
        ends = sorted({junk.first_no, junk.last_no})
        numbers_said = " to ".join(map(str, ends))
        at = _moment(junk.at_us)
        yield f"  {_say('counting.junk', bales=junk.bales, numbers=numbers_said, at=at)}"


def _window(gap: Gap) -> dict[str, str]:
    return {"after": _moment(gap.after_us), "before": _moment(gap.before_us)}


def _moment(at_us: int | None) -> str:
    from balewright.words.iso_times import write_time

    return _say("counting.unknown_time") if at_us is None else write_time(at_us)


def _lifetime(count: LifetimeCount) -> str:
    if count.bales is None:
        return _say("counting.lifetime.unknown")
    key = "counting.lifetime.least" if count.at_least else "counting.lifetime"
    return _say(key, bales=str(count.bales))


def _as_json(told: CountsTold) -> dict[str, Any]:
    files = {str(number): list(names) for number, names in told.files.items()}
    return {"machine": told.entry.serial, **asdict(told.account), "files": files}


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
