"""`balewright compact`: merge the journal's many small files, so that questions stay quick."""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict

from balewright.cli.answer import print_json
from balewright.cli.entry import GOOD
from balewright.cli.moving import moving_line


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `compact`."""
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.compact_journal import compact_journal
    from balewright.quantities.reason import because
    from balewright.settings import load_settings, open_workplace
    from balewright.words.say import say

    workplace = open_workplace(load_settings(os.environ), moving_line(options.json))
    report = compact_journal(workplace)
    if options.json:
        merged = [asdict(one) for one in report.merged]
        print_json("compact", {"rows": report.rows, "bales": report.bales, "merged": merged})
        return GOOD
    if not report.merged:
        print(say(because("command.compact.nothing")))
        return GOOD
    before, after = report.files
    values = {"before": before, "after": after, "rows": report.rows, "bales": report.bales}
    print(say(because("command.compact.done", **values)))
    return GOOD
