"""In which language and units an answer is written: `--language de --units us`."""

from __future__ import annotations

import argparse

from balewright.words.languages import LANGUAGES, SOURCE
from balewright.words.reader import Reader, Units, units_named


def add_reader(parser: argparse.ArgumentParser) -> None:
    """The two options; English and metric where nothing is said."""
    group = parser.add_argument_group("reader")
    group.add_argument("--language", default=SOURCE, metavar="CODE", help=", ".join(LANGUAGES))
    group.add_argument(
        "--units", default=Units.METRIC.value, metavar="SYSTEM", help=", ".join(Units)
    )


def reader_tag(options: argparse.Namespace) -> str:
    """What the functions of `words` and `cards` take as `language`; BadInput for one there is
    not."""
    return Reader(options.language.strip().lower(), units_named(options.units)).tag
