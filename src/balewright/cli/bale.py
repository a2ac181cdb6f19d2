"""`balewright bale`: one bale with where each value comes from, or a machine's bales."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, Final

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.quantities.reason import Reason, because

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace
    from balewright.records.traced import Source, Told, TracedBale

SHOWN: Final = 20


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `bale`."""
    parser.add_argument("machine", help="the machine's serial")
    parser.add_argument("bale", nargs="?", help="number or key; without it the newest are listed")
    parser.add_argument("--job", help="list only bales of this job")
    parser.add_argument(
        "--first", type=int, default=0, metavar="N", help="leave out the newest N of the list"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.find_bale import find_bale
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    if options.bale is None:
        return _list(workplace, options)
    bale = find_bale(workplace, options.machine, options.bale)
    if options.json:
        print_json("bale", _as_json(bale))
    else:
        _print(bale, workplace)
    return GOOD


def _list(workplace: Workplace, options: argparse.Namespace) -> int:
    from balewright.flows.known_machine import known_machine
    from balewright.flows.list_bales import BaleQuery, list_bales
    from balewright.words.times import say_time, zone_named

    known_machine(workplace, options.machine)
    first = max(0, options.first)
    found = list_bales(workplace, options.machine, BaleQuery(job=options.job), first, SHOWN)
    if options.json:
        lines = [asdict(line) for line in found.lines]
        print_json("bale", {"machine": options.machine, "total": found.total, "bales": lines})
        return GOOD
    if not found.total:
        print(_say("command.bale.none", machine=options.machine))
    zone = zone_named(_zone(workplace, options.machine))
    for line in found.lines:
        words = (line.job or "-", line.status or "-", f"files {line.files}")
        odd = " they differ" if line.differs else ""
        print(f"{line.key:28} {say_time(line.at_us, zone):18} {'  '.join(words)}{odd}")
    left = found.total - first - len(found.lines)
    if left > 0:
        print(_say("command.bale.more", count=left))
    return GOOD


def _print(bale: TracedBale, workplace: Workplace) -> None:
    zone = _zone(workplace, bale.machine)
    print(f"{bale.machine} {bale.key}")
    for number, source in enumerate(bale.sources, 1):
        print(f"[{number}] {source.name or source.sha256[:12]}  {_place(source)}")
    for value in bale.values:
        said = _value(value.column, value.value, zone)
        whose = "" if value.by is None else f" [{value.by.source + 1}]"
        why = _say(f"bale.why.{value.why.value.replace(' ', '_')}")
        alone = len(bale.sources) == 1 and value.why.value == "only"
        print(f"{value.column:20} {said}{whose}" + ("" if alone else f"  ({why})"))
        for other in value.others:
            if other.value != value.value:
                print(f"{'':20} {_value(value.column, other.value, zone)} [{other.source + 1}]")
        for one in value.corrections:
            print(f"{'':20} {one.why} ({one.by or '-'}, {one.key})")


def _place(source: Source) -> str:
    at = (
        _say("bale.at.none", at=source.row + 1)
        if source.at is None
        else _say(f"bale.at.{source.unit}", at=source.at)
    )
    return f"{source.file}, {at}" if source.file else at


def _value(column: str, value: Any, zone: str) -> str:
    from balewright.records.columns import BY_NAME, Kind
    from balewright.words.times import say_clock, say_day, zone_named
    from balewright.words.values import UNKNOWN

    if value is None:
        return UNKNOWN
    if BY_NAME[column].kind is Kind.TIME:
        named = zone_named(zone)
        return f"{say_day(value, named)} {say_clock(value, named)}"
    return str(value)


def _zone(workplace: Workplace, machine: str) -> str:
    entry = workplace.register.load_machine(machine)
    return "UTC" if entry is None else entry.zone


def _as_json(bale: TracedBale) -> dict[str, Any]:
    return {
        "machine": bale.machine,
        "key": bale.key,
        "answers_to": list(bale.answers_to),
        "counts": bale.counts,
        "is_pass": bale.is_pass,
        "repeated": bale.repeated,
        "sources": [asdict(source) for source in bale.sources],
        "values": {
            one.column: {
                "value": one.value,
                "by": None if one.by is None else _told(one.by),
                "why": one.why.value,
                "differs": one.differs,
                "others": [_told(other) for other in one.others],
                "corrections": [correction.key for correction in one.corrections],
            }
            for one in bale.values
        },
        "corrections": [asdict(one) for one in bale.corrections],
    }


def _told(told: Told) -> dict[str, Any]:
    return {"value": told.value, "source": told.source}


def _say(key: str, **values: Any) -> str:
    from balewright.words.say import say

    reason: Reason = because(key, **values)
    return say(reason)
