"""What `balewright sheet --what-if NAME=VALUE` and `--price NAME=VALUE` can be told."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Final

from balewright.flows.outlook import Money
from balewright.plan.sheet.change import Given
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KM_H_PER_M_S, M_PER_MM, M_PER_UM


@dataclass(frozen=True)
class _Condition:
    """name: of `plan/sheet/change`; factor: from what is typed to SI; is_share: % may stand."""

    name: str
    factor: float = 1.0
    is_share: bool = False


_CONDITIONS: Final = {
    "crop": _Condition("crop"),
    "moisture": _Condition("moisture_frac", is_share=True),
    "windrow-kg-m": _Condition("windrow_kg_m"),
    "speed-km-h": _Condition("speed_m_s", 1.0 / KM_H_PER_M_S),
    "months": _Condition("storage_months"),
    "bales": _Condition("bales"),
    "slope": _Condition("slope_frac", is_share=True),
    "dusty": _Condition("dusty"),
    "stony": _Condition("stony"),
    "film-width-mm": _Condition("film_width_m", M_PER_MM),
    "film-thickness-um": _Condition("film_thickness_m", M_PER_UM),
    "film-roll-m": _Condition("film_roll_m"),
    "stretch": _Condition("film_pre_stretch_frac", is_share=True),
    "net-roll-m": _Condition("net_roll_m"),
    "climate": _Condition("climate"),
    "row-width-m": _Condition("row_width_m"),
    "rate-l-t": _Condition("additive_rate_l_t"),
    "weighed": _Condition("weighed"),
    "binding": _Condition("binding"),
}
"""By the names of the options of the same command."""
_WORDS: Final = ("crop", "climate", "binding")
_YES_OR_NO: Final = {"yes": True, "no": False}
_YES_NAMES: Final = ("dusty", "stony", "weighed")
_PRICES: Final = tuple(part.name.replace("_", "-") for part in fields(Money))
_MOST: Final = 1e9


class _Compare(argparse.Action):
    """Two files are all that is needed: what a sheet is made from need not be said as well."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: Any,
        option_string: str | None = None,  # noqa: ARG002 - argparse hands it over
    ) -> None:
        """Keep the files; nothing else is needed from here on."""
        setattr(namespace, self.dest, values)
        for action in parser._actions:
            action.required = False
        for group in parser._mutually_exclusive_groups:
            group.required = False


def add_what_if(parser: argparse.ArgumentParser) -> None:
    """The options, in a group of their own."""
    group = parser.add_argument_group("beside another sheet")
    group.add_argument(
        "--what-if", action="append", default=[], metavar="NAME=VALUE",
        help="what would change: moisture=40%%, slope=15%%, film-width-mm=500, dusty=yes, "
             "net-roll-m=none ...; may be given again",
    )  # fmt: skip
    group.add_argument(
        "--price", action="append", default=[], metavar="NAME=VALUE",
        help=f"to tell it in money, in your currency; all of {', '.join(_PRICES)}, "
             "and --gathered-m",
    )  # fmt: skip
    group.add_argument(
        "--compare", nargs=2, type=Path, action=_Compare, metavar=("A.json", "B.json"),
        help="set two sheets side by side, as --json wrote them; nothing else is needed",
    )  # fmt: skip


def changes_from(given: Sequence[str]) -> list[tuple[str, Given]]:
    """(name, value) in SI of every NAME=VALUE. Raises BadInput naming what could stand there."""
    return [_change(text) for text in given]


def money_from(given: Sequence[str]) -> Money:
    """The prices that are given. Raises BadInput for a name or a number that is none."""
    prices: dict[str, Any] = {}
    for text in given:
        name, value = _split("--price", text, _PRICES, "film-money=90")
        number = _number("--price", text, value, "film-money=90")
        if not 0.0 <= number <= _MOST:
            need = f"a number from 0 to {_MOST:g}"
            raise BadInput(Fault("--price", need, repr(text), "Give it in your currency."))
        prices[name.replace("-", "_")] = number
    return Money(**prices)


def _change(text: str) -> tuple[str, Given]:
    name, value = _split("--what-if", text, tuple(_CONDITIONS), "moisture=40%")
    condition = _CONDITIONS[name]
    if value.lower() == "none":
        return condition.name, None
    if name in _WORDS:
        return condition.name, value.replace("-", " ") if name == "crop" else value
    if name in _YES_NAMES:
        if value.lower() not in _YES_OR_NO:
            raise BadInput(Fault("--what-if", f"{name}=yes or {name}=no", repr(text), "Say which."))
        return condition.name, _YES_OR_NO[value.lower()]
    percent = condition.is_share and value.endswith("%")
    number = _number("--what-if", text, value.removesuffix("%") if percent else value, f"{name}=1")
    if condition.is_share and not percent and number > 1.0:
        need = f"{name} as a share, from 0 to 1 or with %"
        raise BadInput(Fault("--what-if", need, repr(text), f"Write {name}=62% or {name}=0.62."))
    return condition.name, number / 100.0 if percent else number * condition.factor


def _split(option: str, text: str, known: tuple[str, ...], example: str) -> tuple[str, str]:
    name, equals, value = (part.strip() for part in text.partition("="))
    if name not in known:
        near = get_close_matches(name, known, n=1)
        hint = f"Did you mean {near[0]}?" if near else f"Write it as in {example}."
        raise BadInput(Fault(option, f"one of {', '.join(known)}", repr(text), hint))
    if not equals or not value:
        raise BadInput(Fault(option, "NAME=VALUE", repr(text), f"Write it as in {example}."))
    return name, value


def _number(option: str, text: str, value: str, example: str) -> float:
    try:
        number = float(value)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise BadInput(Fault(option, "a number", repr(text), f"Write it as in {example}."))
    return number
