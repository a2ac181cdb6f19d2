"""`balewright cost`: what a bale costs, part by part, and what each setting changes."""

from __future__ import annotations

import argparse
from typing import Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.cost_options import Asked, add_options, ask
from balewright.cli.drawing import write_drawing
from balewright.cli.ranges import as_options
from balewright.plan.cost.answer import CostAnswer, answer_cost
from balewright.plan.cost.custom_rates import CUSTOM_RATES, CustomRate
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import ReasonValue, because
from balewright.words.say import say


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Reckon, then print words and tables or JSON, and draw where asked; the exit code."""
    asked = ask(options)
    try:
        found = answer_cost(asked.job, asked.outlay, asked.hired, asked.spread)
    except BadInput as error:
        names = {name.rpartition(".")[2]: "--uncertain" for name in asked.spread}
        raise as_options(error, {"spread": "--uncertain", **names}) from None
    if options.svg is not None:
        from balewright.pictures.cost_chart import draw_cost
        from balewright.pictures.plot import on_paper

        write_drawing(options.svg, on_paper(draw_cost(found, say)))
    if options.json:
        print_json("cost", _as_json(found))
    else:
        _print(asked, found)
    return 0


def _said(key: str, **values: ReasonValue) -> str:
    return say(because(f"cost.{key}", **values))


def _money(money: float) -> str:
    return f"{money:,.2f}"


def _print(asked: Asked, found: CostAnswer) -> None:
    cost, made = found.cost, found.made
    print(_said("asked", bale_dm_kg=made.dm_kg, pace_bales_h=made.bales_h, film_m=made.film_m,
                binding_m=made.binding_m, fuel_l_h=made.fuel_l_h))  # fmt: skip
    print(_said("rates", bale_money=_money(cost.bale_money), t_money=_money(cost.money_t_dm),
                ha_money=_money(cost.money_ha), h_money=_money(cost.money_h)))  # fmt: skip
    print(_said("season", bales_year=f"{cost.bales_year:.0f}", machine_h=cost.machine_h,
                area=f"{cost.area_ha_h:.1f}", fixed_money=_money(cost.fixed_money)))  # fmt: skip
    print()
    _print_parts(found)
    print()
    _print_changes(found)
    print()
    for sentence in _closing(asked, found):
        print(sentence)


def _print_parts(found: CostAnswer) -> None:
    cost = found.cost
    rows = [
        [_said(f"part.{name}"), _money(money), f"{100.0 * money / cost.bale_money:.0f} %"]
        for name, money in cost.parts.items()
        if money > 0.0
    ]
    rows.append([_said("part.all"), _money(cost.bale_money), "100 %"])
    print_table([_said(f"column.{name}") for name in ("part", "money", "share")], rows)


def _print_changes(found: CostAnswer) -> None:
    names = ("change", "change_bale", "change_t", "change_ha", "change_pace", "change_kw")
    rows = [
        [
            _said(f"change.{one.changed.value}"),
            *(f"{value:+.2f}" for value in (one.bale_money, one.money_t_dm, one.money_ha)),
            f"{one.bales_h:+.1f}",
            f"{one.work_kw:+.1f}",
        ]
        for one in found.changes
    ]
    print_table([_said(f"column.{name}") for name in names], rows)


def _closing(asked: Asked, found: CostAnswer) -> list[str]:
    cost, said = found.cost, []
    if cost.beyond_life:
        said.append(_said("beyond_life", life_hours=cost.life_h))
    if found.ends is not None:
        low_money, high_money = _money(found.ends.low), _money(found.ends.high)
        said.append(_said("ends", low_money=low_money, high_money=high_money))
    if asked.hired is not None:
        hired_money = _money(asked.hired.bale_money)
        if found.own_from_bales is None:
            said.append(_said("own_never", hired_money=hired_money))
        else:
            own_from = f"{found.own_from_bales:.0f}"
            said.append(_said("own_from", hired_money=hired_money, own_from=own_from))
        said += [_said("rates_seen"), *(f"- {_rate(rate)}" for rate in CUSTOM_RATES)]
    return [*said, _said("keeping"), _said("not_in_it")]


def _rate(rate: CustomRate) -> str:
    when = _said("rate.no_year") if rate.year is None else f"{rate.year}"
    told = {"place": rate.place, "when": when, "currency": rate.currency, "what": rate.what}
    low, high = f"{rate.low_money:.2f}", f"{rate.high_money:.2f}"
    if low == high:
        return _said("rate.one", low=low, **told)
    return _said("rate.range", low=low, high=high, **told)


def _as_json(found: CostAnswer) -> dict[str, Any]:
    cost, made, ends = found.cost, found.made, found.ends
    return {
        "bale_money": cost.bale_money,
        "money_t_dm": cost.money_t_dm,
        "money_ha": cost.money_ha,
        "money_h": cost.money_h,
        "money_year": cost.money_year,
        "fixed_money": cost.fixed_money,
        "parts": dict(cost.parts.items()),
        "dm_kg": made.dm_kg,
        "bales_h": made.bales_h,
        "film_m": made.film_m,
        "binding_m": made.binding_m,
        "fuel_l_h": made.fuel_l_h,
        "fuel_l_ha": made.fuel_l_h / cost.area_ha_h,
        "area_ha_h": cost.area_ha_h,
        "bales_ha": cost.bales_ha,
        "bales_year": cost.bales_year,
        "machine_h": cost.machine_h,
        "beyond_life": cost.beyond_life,
        "changes": [
            {
                "changed": one.changed.value,
                "bale_money": one.bale_money,
                "money_t_dm": one.money_t_dm,
                "money_ha": one.money_ha,
                "bales_h": one.bales_h,
                "work_kw": one.work_kw,
            }
            for one in found.changes
        ],
        "own_from_bales": found.own_from_bales,
        "ends_money_t_dm": ends and {"low": ends.low, "high": ends.high},
    }
