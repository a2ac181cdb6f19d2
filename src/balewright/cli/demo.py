"""`balewright demo`: an invented fleet in an empty workplace, then the desk on it."""

from __future__ import annotations

import argparse

from balewright.cli.entry import GOOD
from balewright.cli.serve import add_place_options, environment_for, serve


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `demo`."""
    add_place_options(parser)
    parser.add_argument("--fill-only", action="store_true", help="fill the workplace, do not serve")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.flows.fill_demo import fill_demo
    from balewright.settings import load_settings, open_workplace

    environ = environment_for(options, open_desk=True)
    workplace = open_workplace(load_settings(environ), _tell)
    fleet = workplace.register.load_machines()
    if fleet:
        print(f"balewright: the workplace has {len(fleet)} machines already; nothing is added")
    else:
        print("balewright: filling the workplace with an invented fleet", flush=True)
        fill_demo(workplace)
    workplace.register.close()
    return GOOD if options.fill_only else serve(environ)


def _tell(stage: str, done: int, total: int | None) -> None:
    if stage == "rehearsing" and total:
        print(f"balewright: machine {done} of {total}", flush=True)
