"""`balewright optimum`: the layers, density and speed that cost least for what is wanted."""

from __future__ import annotations

import argparse
import math
from typing import Any

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.given import three_ends
from balewright.cli.optimum_options import add_options, ask
from balewright.plan.keeping.keep import School
from balewright.plan.optimum.asked import Question
from balewright.plan.optimum.best import Axis, BestSettings, Bound, Curve, best_settings
from balewright.plan.optimum.option import Option
from balewright.plan.power.answer import Verdict
from balewright.quantities.errors import BadInput, Fault, NotAnswerable
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import KM_H_PER_M_S
from balewright.words.say import SPACE, say, say_number


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Search, then print words and tables or JSON, and draw where asked; the exit code."""
    question = ask(options)
    try:
        best = best_settings(question)
    except NotAnswerable as none:
        found, _, cure = str(none).partition(". ")
        need = "choices of which at least one may be taken"
        raise BadInput(Fault("optimum", need, found, cure)) from none
    if options.svg is not None:
        from balewright.pictures.optimum_chart import draw_optimum
        from balewright.pictures.plot import on_paper

        write_drawing(options.svg, on_paper(draw_optimum(best, say)))
    if options.json:
        print_json("optimum", _as_json(best))
    else:
        _print(best, question)
    return 0


def _said(key: str, **values: ReasonValue) -> str:
    return say(because(f"optimum.{key}", **values))


def _money(money: float) -> str:
    return f"{money:,.2f}"


def _print(best: BestSettings, question: Question) -> None:
    settled = best.settled
    lost = settled.kept.total_frac
    print(_said("caution"))
    print()
    print(_said("settled", layers=settled.turned.layers, turns=settled.turned.turns,
                dry_matter_kg_m3=settled.density_kg_m3, speed_m_s=settled.speed_m_s,
                mass_kg=settled.mass_kg))  # fmt: skip
    sure = f"{math.floor(1000.0 * settled.turned.chance_frac) / 10.0:g}{SPACE}%"  # never up to 100
    print(_said("chance", chance_words=sure, layers=settled.turned.layers))
    print(_said("lost", stay_months=question.stay.months, low_frac=lost.low, high_frac=lost.high))
    if best.regret_money_t > 0.005:
        print(_said("regret", regret_number=_money(best.regret_money_t)))
    else:
        print(_said("no_regret"))
    if settled.power is Verdict.NOT_CERTAIN:
        print(_said("not_certain"))
    print(_said("tried", tried=best.tried, allowed=best.allowed))
    print()
    print_table(
        [_said(f"column.{name}") for name in
         ("setting", "settled", "below", "above", "near_well_made", "near_barrier_trials")],
        [_bound_row(best, bound, curve)
         for bound, curve in zip(best.bounds, best.curves, strict=True)],
    )  # fmt: skip
    print()
    print(_said("front"))
    print_table(
        [_said(f"column.{name}") for name in
         ("layers", "turns", "density", "speed", "money", "loss", "pace")],
        [_front_row(option) for option in best.front],
    )  # fmt: skip
    print()
    print(_said("limits"))


def _bound_row(best: BestSettings, bound: Bound, curve: Curve) -> list[str]:
    bars = ", ".join(_said(f"bar.{bar.name.lower()}") for bar in bound.bars)
    steps = []
    for step in (bound.below, bound.above):
        said = _said(f"beyond.{step.name.lower()}")
        steps.append(f"{said} ({bars})" if step.name == "BARRED" else said)
    near = {school: (low, high) for school, low, high in curve.near}
    stretches = [_stretch(*(_axis(bound.axis, end) for end in near[school])) for school in School]
    here = _axis(bound.axis, _place(best.settled, bound.axis))
    return [_said(f"axis.{bound.axis}"), here, *steps, *stretches]


def _stretch(low: str, high: str) -> str:
    return low if low == high else f"{low} to {high}"


def _place(option: Option, axis: Axis) -> float:
    if axis is Axis.LAYERS:
        return float(option.turned.layers)
    return option.density_kg_m3 if axis is Axis.DENSITY else option.speed_m_s


def _axis(axis: Axis, value: float) -> str:
    return say_number(value * KM_H_PER_M_S if axis is Axis.SPEED else value, (1, 1, 0))


def _front_row(option: Option) -> list[str]:
    return [
        str(option.turned.layers),
        say_number(option.turned.turns, (1, 1, 0)),
        say_number(option.density_kg_m3, (0, 0, 0)),
        say_number(option.speed_m_s * KM_H_PER_M_S, (1, 1, 0)),
        _money(option.made_money_t),
        say_number(100.0 * option.worst_loss_frac, (1, 1, 0)),
        say_number(option.dm_t_h, (1, 1, 0)),
    ]


def _as_json(best: BestSettings) -> dict[str, Any]:
    return {
        "settled": _option(best.settled),
        "regret_money_t": best.regret_money_t,
        "by_school": {school.value: _option(option) for school, option in best.by_school},
        "curves": [_curve(curve) for curve in best.curves],
        "front": [_option(option) for option in best.front],
        "bounds": [
            {"setting": bound.axis.value, "below": bound.below.value, "above": bound.above.value,
             "bars": [bar.value for bar in bound.bars]}
            for bound in best.bounds
        ],
        "tried": best.tried,
        "allowed": best.allowed,
    }  # fmt: skip


def _option(option: Option) -> dict[str, Any]:
    return {
        "layers": option.turned.layers,
        "turns": option.turned.turns,
        "chance_fraction": option.turned.chance_frac,
        "dm_kg_m3": option.density_kg_m3,
        "speed_m_s": option.speed_m_s,
        "mass_kg": option.mass_kg,
        "made_money_t": option.made_money_t,
        "total_money_t": {school.value: three_ends(option.money_t(school)) for school in School},
        "loss_fraction": three_ends(option.kept.total_frac),
        "worst_loss_fraction": option.worst_loss_frac,
        "dm_t_h": option.dm_t_h,
        "power": None if option.power is None else option.power.value,
    }


def _curve(curve: Curve) -> dict[str, Any]:
    points = [
        {
            "at": point.at,
            "total_money_t": {
                school.value: three_ends(option.money_t(school)) for school, option in point.options
            },
            "bars": [bar.value for bar in point.bars],
        }
        for point in curve.points
    ]
    near = {school.value: [low, high] for school, low, high in curve.near}
    return {"setting": curve.axis.value, "points": points, "near": near}
