"""The answer of `balewright sheet --what-if` and `--compare`: what moved between two sheets."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.sheet_what_if import changes_from, money_from
from balewright.flows.find_profile import find_profile
from balewright.flows.outlook import Asked, Field
from balewright.flows.read_sheet_file import read_sheet_file
from balewright.flows.set_beside import Beside, set_beside
from balewright.flows.what_if import what_if
from balewright.plan.film.recorded_spread import RecordedSpread
from balewright.plan.machine import Machine
from balewright.plan.sheet.compare import Moved, how_moved
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.words.say import say
from balewright.words.sheet_difference import (
    MovedRow,
    asked_moved,
    expected_moved,
    labels_around,
    passages_of,
    settings_moved,
)
from balewright.words.sheet_words import machine_of

_PASSAGES: Final = {
    "cautions": "Cautions",
    "conflicts": "What pulls two ways",
    "unknown": "Unknown",
    "measures": "To measure in the first five bales",
    "rolls": "Roll changes",
}


def answer_difference(options: argparse.Namespace) -> int:
    """Print the difference that is asked for; the exit code."""
    unfit = [name for name in ("--keep", "--pdf") if getattr(options, name[2:])]
    if unfit:
        cure = "Make the sheet you want by itself."
        raise BadInput(Fault(unfit[0], "a sheet of its own", "a difference of two", cure))
    beside = _compared(options.compare) if options.compare else _changed(options)
    if options.json:
        print_json("sheet", _as_json(beside))
    else:
        _print(beside, named=bool(options.compare))
    return 0


def _compared(files: Sequence[Path]) -> Beside:
    one, other = (read_sheet_file(file) for file in files)
    return set_beside(one, other, (_profile(one), _profile(other)))


def _profile(sheet: Sheet) -> Machine | None:
    try:
        return find_profile(sheet.profile_key)
    except BadInput:
        return None


def _changed(options: argparse.Namespace) -> Beside:
    from balewright.cli.sheet_options import conditions_from

    machine, recorded = _machine(options)
    asked = Asked(
        conditions_from(options),
        field=Field(gathered_m=options.gathered_m),
        money=money_from(options.price),
        recorded=recorded,
    )
    return what_if(machine, asked, changes_from(options.what_if))


def _machine(options: argparse.Namespace) -> tuple[Machine, RecordedSpread | None]:
    if options.machine is None:
        return find_profile(options.profile), None
    from balewright.flows.choose_conditions import choose_conditions
    from balewright.settings import load_settings, open_workplace

    chosen = choose_conditions(open_workplace(load_settings(os.environ)), options.machine)
    return chosen.machine, chosen.recorded


def _print(beside: Beside, named: bool) -> None:
    difference = beside.difference
    passages = passages_of(beside.one, beside.other, difference)
    if named:
        print(f"{machine_of(beside.other)} beside {machine_of(beside.one)}")
    if difference.is_empty:
        print("Nothing differs.")
        return
    for passage in passages:
        if passage.key == "cautions":
            _print_passage(passage.key, passage.gone, passage.new)
    _print_rows("Asked", asked_moved(difference))
    if beside.effects:
        print()
    for effect in beside.effects:
        said = " ".join(say(reason) for reason in effect.said)
        print(f"{effect.key.capitalize():<8}  {said if effect.moved else f'As before: {said}'}")
    for note in beside.notes:
        print(say(note))
    rows = settings_moved(difference)
    _print_rows("Set otherwise", rows)
    for row in rows:
        if row.why:
            print(f"  {row.label}: {row.why}")
    _print_rows("Expected otherwise", expected_moved(difference))
    print()
    print(_unchanged(beside))
    for passage in passages:
        if passage.key != "cautions":
            print()
            _print_passage(passage.key, passage.gone, passage.new)


def _unchanged(beside: Beside) -> str:
    around = labels_around(beside.difference)
    count = len(beside.difference.same) + len(around)
    said = f"{count} {'setting stays' if count == 1 else 'settings stay'} as before"
    return f"{said}; for another reason: {', '.join(around)}." if around else f"{said}."


def _print_rows(heading: str, rows: Sequence[MovedRow]) -> None:
    if not rows:
        return
    print()
    table = [
        (row.label, _with_dial(row.was, row.was_dial), _with_dial(row.now, row.now_dial),
         f"{row.sign} {row.word}")
        for row in rows
    ]  # fmt: skip
    print_table((heading, "Before", "Now", ""), table)


def _with_dial(value: str, dial: str) -> str:
    return f"{value} ({dial})" if dial else value


def _print_passage(key: str, gone: Sequence[str], new: Sequence[str]) -> None:
    print(_PASSAGES[key])
    for text in new:
        print(f"  now: {text}")
    for text in gone:
        print(f"  before: {text}")


def _as_json(beside: Beside) -> dict[str, Any]:
    from balewright.cards.value_json import to_json

    difference = beside.difference
    passages = passages_of(beside.one, beside.other, difference)
    return {
        "asked": [_ends(moved) for moved in difference.asked],
        "origin": [_ends(moved) for moved in difference.origin],
        "lines": [{**_ends(moved), "how": how_moved(moved).value} for moved in difference.lines],
        "same": list(difference.same),
        "expected": [_ends(moved) for moved in difference.expected],
        "roll_changes": [_ends(moved) for moved in difference.roll_changes],
        "lost_rolls": [_ends(moved) for moved in difference.lost_rolls],
        "effects": [
            {
                "effect": effect.key,
                "moved": effect.moved,
                "said": [say(reason) for reason in effect.said],
                "numbers": [to_json(number) for number in effect.numbers],
            }
            for effect in beside.effects
        ],
        "notes": [say(note) for note in beside.notes],
        "passages": [to_json(passage) for passage in passages],
    }


def _ends(moved: Moved[Any]) -> dict[str, Any]:
    from balewright.cards.value_json import to_json

    ends = ((end if end is None else to_json(end)) for end in (moved.one, moved.other))
    return {"name": moved.name, **dict(zip(("one", "other"), ends, strict=True))}
