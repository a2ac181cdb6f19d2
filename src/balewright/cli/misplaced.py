"""`balewright misplaced`: bales in another job's field, and putting them right."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.find_misplaced_bales import MisplacedTold, Split
    from balewright.flows.workplace import Workplace


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `misplaced`."""
    parser.add_argument("--machine", help="only this serial")
    parser.add_argument("--accept", metavar="KEY", help="put the bales of a proposal right")
    parser.add_argument("--job", help="beside --accept: another job than the proposed one")
    parser.add_argument("--take-back", metavar="KEY", help="take an accepted split back")
    parser.add_argument(
        "--outlines", type=Path, metavar="FILE", help="add outlines of fields first, as GeoJSON"
    )
    parser.add_argument("--field", help="beside --outlines: the field's name where it has none")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.find_misplaced_bales import find_misplaced_bales
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    said = _do(workplace, options)
    told = find_misplaced_bales(workplace, options.machine)
    if options.json:
        print_json("misplaced", {"said": said, **_as_json(told)})
        return GOOD
    for line in (*said, *_lines(told)):
        print(line)
    return GOOD


def _do(workplace: Workplace, options: argparse.Namespace) -> list[str]:
    from balewright.flows.accept_split import SplitAsked, accept_split, take_split_back
    from balewright.flows.add_outlines import add_outline_file

    said = []
    if options.outlines:
        drawn = add_outline_file(workplace, options.outlines, options.field)
        said.append(_say("misplaced.added", count=len(drawn.outlines)))
    if options.accept:
        kept = accept_split(workplace, SplitAsked(options.accept, options.job, options.machine))
        key, machine = kept.correction.key, kept.split.entry.serial
        bales = kept.split.found.bales
        values: dict[str, ReasonValue] = {"bales": bales, "machine": machine, "job": kept.job}
        said.append(_say("misplaced.accepted", split=key, **values))
    if options.take_back:
        take_split_back(workplace, options.take_back)
        said.append(_say("misplaced.withdrawn"))
    return said


def _lines(told: MisplacedTold) -> Iterator[str]:
    if not told.splits:
        yield _say("misplaced.none")
    for split in told.splits:
        yield from _split_lines(split)
    yield _say("misplaced.outlines", count=told.outlines)


def _split_lines(split: Split) -> Iterator[str]:
    from balewright.words.counting import headline, placed_by_time, say_runs
    from balewright.words.iso_times import write_time
    from balewright.words.say import say

    found = split.found
    sure = _say(f"misplaced.sure.{found.sure.value}")
    yield f"{split.entry.serial}: {say(headline(found))} ({sure})"
    ends = {"since": write_time(found.since_us), "until": write_time(found.until_us)}
    yield f"  {_say('misplaced.numbers', numbers=say_runs(split.numbers) or '-', **ends)}"
    for reason in (*found.why, *placed_by_time(found)):
        yield f"  {say(reason)}"
    if found.belongs_to is not None:
        yield f"  {_say('misplaced.proposed', job=found.belongs_to)}"
    yield f"  {_say('misplaced.accept_with', split=split.key)}"


def _as_json(told: MisplacedTold) -> dict[str, Any]:
    splits = []
    for split in told.splits:
        found = asdict(split.found)
        del found["rows"]
        numbers = [[run.first, run.last] for run in split.numbers]
        splits.append({"key": split.key, **found, "bales": list(split.bales), "numbers": numbers})
    return {"splits": splits, "outlines": told.outlines}


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
