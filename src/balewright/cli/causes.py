"""`balewright causes`: what is likely behind a machine's trouble, and what to do next."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

from balewright.cli.answer import print_json
from balewright.cli.causes_given import answers_given, numbers_given
from balewright.cli.causes_json import asked_json, heard_json, listed_json
from balewright.cli.causes_text import print_asked, print_heard, print_listed
from balewright.cli.entry import GOOD
from balewright.quantities.errors import BadInput, Fault

if TYPE_CHECKING:
    from balewright.cause.next_check.costs import Costs
    from balewright.flows.ask_causes import Troubled
    from balewright.flows.workplace import Workplace


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `causes`."""
    parser.add_argument(
        "machine", nargs="?", help="a serial of the register; its records speak too"
    )
    parser.add_argument("--profile", help="without a machine: key of a profile")
    parser.add_argument("--said", metavar="WORDS", help="which reports these words may mean")
    parser.add_argument(
        "--list", choices=("reports", "findings", "checks", "causes"), dest="listed",
        help="what can be seen, or be wrong, on this machine",
    )  # fmt: skip
    for name, what in (("yes", "it is so"), ("no", "it is not"), ("unknown", "nobody can tell")):
        parser.add_argument(f"--{name}", nargs="+", default=[], metavar="KEY", help=what)
    parser.add_argument(
        "--read", nargs="+", default=[], metavar="KEY=NUMBER", help="what a check read, in its unit"
    )
    parser.add_argument(
        "--cost", nargs="+", default=[], metavar="NAME=AMOUNT",
        help="what is known of costs, such as hour_money=80 travel_h=2 rain_in_h=5",
    )  # fmt: skip
    parser.add_argument("--on-van", nargs="+", metavar="PART", help="keys of parts that are there")
    parser.add_argument("--language", default="en", choices=("en", "de", "fr", "pl"))
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _answer(options: argparse.Namespace) -> int:
    from balewright.cause.heard import hear
    from balewright.flows.ask_causes import ask_causes
    from balewright.flows.purse import purse_of
    from balewright.flows.tell_causes import tell_causes
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    at = _machine(options, workplace)
    language = options.language
    if options.said is not None:
        heard = hear(at.network, options.said)
        if options.json:
            print_json("causes", heard_json(at.network, heard, language))
        else:
            print_heard(at.network, heard, language)
        return GOOD
    if options.listed is not None:
        if options.json:
            print_json("causes", listed_json(at.network, options.listed, language))
        else:
            print_listed(at.network, options.listed, language)
        return GOOD
    told = tell_causes(
        ask_causes(workplace, at, answers_given(options), _costs(options, workplace)), language
    )
    if options.json:
        print_json("causes", asked_json(told))
    else:
        print_asked(told, language, purse_of(workplace, told.asked.advice.in_money))
    return GOOD


def _machine(options: argparse.Namespace, workplace: Workplace) -> Troubled:
    from balewright.flows.ask_causes import look_at_machine, look_at_profile

    if (options.machine is None) == (options.profile is None):
        given = "neither" if options.machine is None else "both"
        cure = "Name a machine of the register, or --profile with a key."
        raise BadInput(Fault("causes", "a machine or a profile", given, cure))
    if options.machine is not None:
        return look_at_machine(workplace, options.machine)
    return look_at_profile(workplace, options.profile)


def _costs(options: argparse.Namespace, workplace: Workplace) -> Costs | None:
    from dataclasses import replace

    from balewright.flows.service_costs import amounts, service_costs

    if not options.cost and options.on_van is None:
        return None
    known = numbers_given("--cost", options.cost)
    costs = amounts(known) if known else service_costs(workplace)
    if options.on_van is not None:
        costs = replace(costs, parts_to_hand=frozenset(options.on_van))
    return costs
