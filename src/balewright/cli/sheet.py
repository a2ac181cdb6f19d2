"""`balewright sheet`: the setup sheet as text, JSON, printed, as a page or as task data."""

from __future__ import annotations

import argparse
import os
from typing import Final

from balewright import __version__
from balewright.cli.answer import print_json
from balewright.cli.ranges import as_options
from balewright.cli.reader_options import reader_tag
from balewright.cli.sheet_difference import answer_difference
from balewright.cli.sheet_files import issue_from, write_files
from balewright.cli.sheet_options import add_options, conditions_from
from balewright.flows.find_profile import find_profile
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput

#: Field of the conditions -> the option, where both are told in the same unit.
_TYPED: Final = {
    "moisture_frac": "--moisture",
    "windrow_kg_m": "--windrow-kg-m",
    "slope_frac": "--slope",
    "storage_months": "--months",
    "bales": "--bales",
    "net_roll_m": "--net-roll-m",
    "row_width_m": "--row-width-m",
    "diameter_spread_m": "--diameter-spread-m",
    "climate": "--climate",
    "rolls_left_m": "--left-m",
    "binding": "--binding",
}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Make the sheet, keep and write it where asked, print it; the exit code.

    The register is opened only for `--machine` and `--keep`. With `--what-if` or `--compare` the
    answer is a difference between two sheets.
    """
    if options.compare or options.what_if:
        return answer_difference(options)
    conditions = conditions_from(options)
    reader_tag(options)  # refused before anything is kept or written
    kept = None
    try:
        if options.machine is not None or options.keep:
            sheet, kept = _from_register(options, conditions)
        else:
            sheet = plan_bale(find_profile(options.profile), conditions, None, __version__)
    except BadInput as error:
        raise as_options(error, _TYPED) from error
    written = write_files(options, sheet)
    _print(options, sheet, kept, written)
    return 0


def _from_register(options: argparse.Namespace, conditions: Conditions) -> tuple[Sheet, str | None]:
    from balewright.flows.make_sheet import SheetRequest, keep_sheet, make_sheet
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    if options.machine is not None:
        sheet = make_sheet(workplace, SheetRequest(conditions, serial=options.machine))
    else:
        sheet = plan_bale(find_profile(options.profile), conditions, None, __version__)
    return sheet, keep_sheet(workplace, sheet) if options.keep else None


def _print(
    options: argparse.Namespace, sheet: Sheet, kept: str | None, written: dict[str, str | None]
) -> None:
    from balewright.cards.sheet_json import sheet_to_json
    from balewright.cards.sheet_message import sheet_message
    from balewright.cards.sheet_text import sheet_text

    if options.json:
        print_json("sheet", {"id": kept, **written, "sheet": sheet_to_json(sheet)})
        return
    if options.message:
        print(sheet_message(sheet, reader_tag(options), issue_from(options, sheet)), end="")
    else:
        print(sheet_text(sheet, reader_tag(options)), end="")
    if kept is not None:
        print(f"kept as {kept}")
