"""`balewright prices`: what things cost here, so that findings are told in money."""

from __future__ import annotations

import argparse
import os
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.entry import GOOD
from balewright.quantities.reason import ReasonValue, because

if TYPE_CHECKING:
    from balewright.flows.house_prices import HousePrices

_NUMBERS: Final = {
    "film_roll_money": "a roll of film",
    "film_roll_m": "metres on a roll of film",
    "binding_roll_money": "a roll of net or binding film",
    "binding_roll_m": "metres on a roll of net or binding film",
    "fuel_money_l": "a litre of diesel",
    "additive_money_l": "a litre of additive",
    "hour_money": "an hour of machine, tractor and people in the field",
    "bale_money": "what one more bale costs, all in all",
}
_NAMES: Final = (*_NUMBERS, "currency")


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """Options of `prices`."""
    for name, means in _NUMBERS.items():
        parser.add_argument(_option(name), type=float, metavar="N", help=means)
    parser.add_argument("--currency", metavar="WORD", help="its name, as it shall be shown")
    parser.add_argument("--anew", action="store_true", help="forget what was set before")
    parser.add_argument("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=_answer)


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")


def _answer(options: argparse.Namespace) -> int:
    from balewright.cli.ranges import as_options
    from balewright.flows.house_prices import NO_PRICES, house_prices, set_house_prices
    from balewright.quantities.errors import BadInput
    from balewright.settings import load_settings, open_workplace

    workplace = open_workplace(load_settings(os.environ))
    given = {name: getattr(options, name) for name in _NAMES}
    given = {name: one for name, one in given.items() if one is not None}
    if given or options.anew:
        before = NO_PRICES if options.anew else house_prices(workplace)
        try:
            set_house_prices(workplace, replace(before, **given))
        except BadInput as error:
            raise as_options(error, {name: _option(name) for name in _NAMES}) from None
    prices = house_prices(workplace)
    if options.json:
        numbers = {name: getattr(prices, name) for name in _NUMBERS}
        print_json("prices", {**numbers, "currency": prices.currency or None})
    else:
        _print(prices)
    return GOOD


def _print(prices: HousePrices) -> None:
    if not prices.known:
        print(_say("prices.none"))
        return
    rows = [(_say(f"prices.{name}"), f"{value:g}") for name, value in prices.known.items()]
    print_table((_say("prices.what_it_is"), prices.currency or _say("prices.money")), rows)
    missing = [_say(f"prices.{name}") for name in _NUMBERS if name not in prices.known]
    if missing:
        print(_say("prices.missing", names=", ".join(missing)))
    print(_say("prices.when"))


def _say(key: str, **values: ReasonValue) -> str:
    from balewright.words.say import say

    return say(because(key, **values))
