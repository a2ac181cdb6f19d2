"""`balewright sheet`: the setup sheet as text, JSON or a printed card."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from balewright import __version__
from balewright.cli.answer import print_json
from balewright.cli.sheet_options import add_options, conditions_from
from balewright.flows.find_profile import find_profile
from balewright.plan.sheet import Conditions, Sheet
from balewright.plan.sheet_rules import plan_bale
from balewright.quantities.errors import BadInput, Fault


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Make the sheet, keep and write it where asked, print it; the exit code.

    The register is opened only for `--machine` and `--keep`.
    """
    conditions = conditions_from(options)
    kept = None
    if options.machine is not None or options.keep:
        sheet, kept = _from_register(options, conditions)
    else:
        sheet = plan_bale(find_profile(options.profile), conditions, None, __version__)
    if options.pdf is not None:
        _write_card(sheet, options.pdf)
    _print(options, sheet, kept)
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


def _write_card(sheet: Sheet, file: Path) -> None:
    from balewright.cards.sheet_pdf import sheet_pdf

    try:
        file.write_bytes(sheet_pdf(sheet))
    except OSError as error:
        given = f"{file} ({error.strerror})"
        cure = "Give a folder that exists and can be written."
        raise BadInput(Fault("--pdf", "a file that can be written", given, cure)) from None


def _print(options: argparse.Namespace, sheet: Sheet, kept: str | None) -> None:
    from balewright.cards.sheet_json import sheet_to_json
    from balewright.cards.sheet_text import sheet_text

    if options.json:
        card = None if options.pdf is None else str(options.pdf)
        print_json("sheet", {"id": kept, "pdf": card, "sheet": sheet_to_json(sheet)})
        return
    print(sheet_text(sheet), end="")
    if kept is not None:
        print(f"kept as {kept}")
