"""`balewright columns FILE`: what the columns of another program's table mean, guessed and kept."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.columns_text import map_line, preview_lines, print_guess
from balewright.cli.entry import BAD_INPUT, GOOD
from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.flows.guess_columns import ColumnAnswers, Guess
    from balewright.flows.workplace import Workplace

_DEEDS = ("list", "export", "import", "withdraw")
_EXAMPLE = """
examples:
  balewright columns export.csv
  balewright columns export.csv --set "Gewicht=mass_kg:kg" --set "Notiz=" \\
      --zone Europe/Berlin --day-order dmy --save "bale report"
  balewright columns list
  balewright columns export "bale report" report.toml
  balewright columns import report.toml
  balewright columns withdraw "bale report"
"""
_WHOLE = ("decimal", "thousands", "day_order", "zone", "twice", "machine")


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `columns`."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EXAMPLE
    parser.add_argument(
        "words", nargs="+", metavar="FILE", help=f"a table, or one of {', '.join(_DEEDS)}"
    )
    look = parser.add_argument_group("how the table is looked at")
    look.add_argument("--encoding", help="utf-8, cp1252, latin-1, utf-16-le, utf-16-be")
    look.add_argument("--sheet", help="the sheet of a spreadsheet")
    look.add_argument("--head-row", type=int, metavar="ROW", help="row of the headings, from 1")
    say = parser.add_argument_group("what is said of it")
    say.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="HEADING=COLUMN:UNIT",
        help="what one column means, as often as needed; nothing after = leaves it out",
    )
    say.add_argument(
        "--word",
        action="append",
        default=[],
        metavar="HEADING:THEIRS=OURS",
        help="what one of its words means; nothing after = is not known",
    )
    say.add_argument("--decimal", help="decimal sign: . or ,")
    say.add_argument("--thousands", help='thousands sign: . , \' or a blank, "" for none')
    say.add_argument("--day-order", metavar="ORDER", help="ymd, dmy or mdy")
    say.add_argument("--zone", help="zone of its clock times, such as Europe/Berlin, or machine")
    say.add_argument(
        "--twice", help="a clock time that came twice: refuse, by order, first, second"
    )
    say.add_argument(
        "--machine", metavar="SERIAL", help="whose the bales are, if no column says it"
    )
    parser.add_argument("--save", metavar="NAME", help="keep this as the column map NAME")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    deed, *more = options.words
    if deed in _DEEDS and not Path(deed).is_file():
        wanted = {"list": (0, 0), "export": (1, 2), "import": (1, 1), "withdraw": (1, 1)}[deed]
        if not wanted[0] <= len(more) <= wanted[1]:
            cure = "See `balewright columns --help`."
            need = f"{wanted[0]} words after it" if wanted[0] == wanted[1] else "1 or 2 words"
            raise BadInput(Fault(deed, need, str(len(more)), cure))
        return _do(deed, more, options)
    if more:
        cure = "Give one file at a time."
        raise BadInput(Fault("FILE", "one table", f"{len(options.words)} words", cure))
    return _look(Path(deed), options)


def _workplace() -> Workplace:
    from balewright.settings import load_settings, open_workplace

    return open_workplace(load_settings(os.environ))


def _look(path: Path, options: argparse.Namespace) -> int:
    from balewright.flows.guess_columns import GuessWish, answered, guess_columns
    from balewright.flows.keep_column_map import keep_column_map, map_to_json
    from balewright.flows.preview_columns import preview_columns

    workplace = _workplace()
    row = None if options.head_row is None else options.head_row - 1
    seen = guess_columns(workplace, path, GuessWish(options.encoding, options.sheet, row))
    answers = _answers(seen, options)
    column_map = answered(seen.column_map, answers)
    asked = _still_open(seen, options)
    kept = None
    if options.save is not None:
        if asked:
            raise BadInput(*(_open_fault(key) for key in asked))
        kept = keep_column_map(workplace, column_map)
    preview = preview_columns(workplace, path, column_map)
    if options.json:
        body: dict[str, Any] = {
            "map": map_to_json(column_map),
            "questions": [{"key": one.key, **dict(one.values)} for one in seen.questions],
            "still_open": asked,
            "preview": {**asdict(preview), "times": sorted(preview.times)},
            "saved": None if kept is None else kept.map.key,
        }
        print_json("columns", body)
        return GOOD
    print_guess(seen, column_map, asked)
    print("\n".join(preview_lines(preview)))
    if kept is not None:
        print(f"\nkept as {kept.map.key}, {kept.map.name}: tables with these headings are read")
    return GOOD if preview.kept or not preview.refused else BAD_INPUT


def _answers(seen: Guess, options: argparse.Namespace) -> ColumnAnswers:
    from balewright.flows.guess_columns import ColumnAnswers

    targets, units = {}, {}
    for said in options.set:
        heading, sign, meaning = said.rpartition("=")
        at = _place(seen, heading, "--set", said) if sign else None
        if at is None:
            need = "HEADING=COLUMN or HEADING=COLUMN:UNIT"
            raise BadInput(Fault("--set", need, repr(said), "Write it like that."))
        target, _, unit = meaning.partition(":")
        targets[at] = target.strip()
        if unit or target.strip() != seen.column_map.columns[at].target:
            units[at] = unit.strip()
    whole = {name: getattr(options, name) for name in _WHOLE}
    if options.save is not None:
        whole["name"] = options.save
    return ColumnAnswers(targets, units, _words(seen, options.word), whole)


def _words(seen: Guess, said: list[str]) -> dict[int, tuple[tuple[str, str], ...]]:
    found: dict[int, dict[str, str]] = {}
    for one in said:
        front, sign, ours = one.rpartition("=")
        heading, colon, theirs = front.rpartition(":")
        if not sign or not colon:
            cure = "Write it like that."
            raise BadInput(Fault("--word", "HEADING:THEIRS=OURS", repr(one), cure))
        at = _place(seen, heading, "--word", one)
        found.setdefault(at, dict(seen.column_map.columns[at].words))[theirs] = ours
    return {at: tuple(pairs.items()) for at, pairs in found.items()}


def _place(seen: Guess, heading: str, option: str, said: str) -> int:
    """The column of a heading, or of its number from 1 where headings are doubled or empty."""
    at = [one.place for one in seen.column_map.columns if one.heading == heading.strip()]
    if len(at) == 1:
        return at[0]
    number = heading.strip().removeprefix("#")
    is_number = heading.strip().startswith("#") and number.isdecimal()
    if is_number and 1 <= int(number) <= len(seen.column_map.columns):
        return int(number) - 1
    given = "several columns of it" if at else repr(said)
    cure = "Write a heading as it stands in the table, or # and the number of the column."
    raise BadInput(Fault(option, "a heading of the table", given, cure))


def _still_open(seen: Guess, options: argparse.Namespace) -> list[str]:
    """Questions that the table leaves open and that no option answers."""
    answers = {
        "columns.ask.encoding": options.encoding,
        "columns.ask.day_order": options.day_order,
        "columns.ask.decimal": options.decimal,
        "columns.ask.zone": options.zone,
        "columns.ask.words": True,
        "columns.ask.machine": True,
        "columns.ask.zone_confirm": True,
        "columns.ask.identity": True,
    }
    return [one.key for one in seen.questions if answers.get(one.key) is None]


def _open_fault(key: str) -> Fault:
    option = "--" + key.rpartition(".")[2].replace("_", "-")
    return Fault(option, "an answer: the table does not decide it", "none", f"Give {option}.")


def _do(deed: str, words: list[str], options: argparse.Namespace) -> int:
    from balewright.flows import keep_column_map as keeping

    workplace = _workplace()
    if deed == "list":
        entries = workplace.register.load_maps()
        if options.json:
            print_json("columns", {"maps": [_as_json(one) for one in entries]})
        elif not entries:
            print("No column maps were kept yet.")
        else:
            print_table(("key", "name", "kept (UTC)", "reads"), [map_line(one) for one in entries])
        return GOOD
    if deed == "export":
        entry = keeping.find_column_map(workplace, words[0])
        text = keeping.column_map_text(entry.map)
        if len(words) == 1:
            print(text, end="")
        else:
            _write(Path(words[1]), text)
            print(f"written to {words[1]}")
        return GOOD
    if deed == "import":
        entry = keeping.import_column_map(workplace, Path(words[0]))
    else:
        entry = keeping.withdraw_column_map(workplace, words[0])
    if options.json:
        print_json("columns", {deed: _as_json(entry)})
    else:
        done = "kept" if deed == "import" else "withdrawn"
        print(f"{done}: {entry.map.key}, {entry.map.name}")
    return GOOD


def _write(path: Path, text: str) -> None:
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        cure = "Name a file that does not exist yet."
        raise BadInput(Fault(str(path), "a new file", said, cure)) from error


def _as_json(entry: Any) -> dict[str, Any]:
    return {
        "key": entry.map.key,
        "name": entry.map.name,
        "made_at": entry.made_at.isoformat(),
        "made_by": entry.made_by,
        "withdrawn_at": None if entry.withdrawn_at is None else entry.withdrawn_at.isoformat(),
        "headings": list(entry.map.headings),
    }
