"""`balewright keeping`: what a wrapped bale loses in store, and how many layers cost least."""

from __future__ import annotations

import argparse
from typing import Any

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.given import three_ends
from balewright.cli.keeping_options import add_options, ask
from balewright.cli.keeping_table import print_answer
from balewright.plan.keeping.answer import KeepingAnswer, answer_keeping
from balewright.plan.keeping.keep import SCHOOL_SOURCES, SchoolLoss
from balewright.plan.keeping.least_cost import LeastCost
from balewright.plan.keeping.moisture_loss import moisture_doubts
from balewright.words.say import say


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Work it out, then print tables or JSON, and draw where asked; the exit code."""
    found = answer_keeping(ask(options))
    if options.svg is not None:
        from balewright.pictures.keeping_chart import draw_keeping

        write_drawing(options.svg, draw_keeping(found, say))
    if options.mould_svg is not None:
        from balewright.pictures.keeping_mould import draw_mould

        write_drawing(options.mould_svg, draw_mould(found, say), "--mould-svg")
    if options.json:
        print_json("keeping", _as_json(found))
    else:
        print_answer(found)
    return 0


def _as_json(found: KeepingAnswer) -> dict[str, Any]:
    kept = found.kept
    return {
        "layers": kept.layers,
        "layer_m": found.stored.cover.layer_m,
        "dry_matter_kg": found.stored.dry_matter_kg,
        "oxygen_mol_m2": kept.mould.dose_mol_m2,
        "film_alone_fraction": three_ends(kept.film_alone_frac),
        "delay_fraction": three_ends(kept.delay_frac),
        "juice_fraction": three_ends(kept.juice_frac),
        "hole_fraction": three_ends(kept.hole_frac),
        "schools": [_school(school) for school in kept.schools],
        "lost_fraction": three_ends(kept.lost_frac),
        "total_fraction": three_ends(kept.total_frac),
        "unknown_losses": [one.value for one in moisture_doubts(found.stored.moisture_frac)],
        "mould_band": kept.mould.band.value,
        "mould": [{"source": one.source, "seen": one.seen} for one in kept.mould.verdicts],
        "advice": [
            {"source": one.source, "layers": [one.least_layers, one.most_layers]}
            for one in found.advice
        ],
        "least_cost": None if found.least is None else _costs(found.least),
    }


def _school(school: SchoolLoss) -> dict[str, Any]:
    return {
        "school": school.school.value,
        "sources": list(SCHOOL_SOURCES[school.school]),
        "base_fraction": three_ends(school.base_frac),
        "film_fraction": three_ends(school.film_frac),
        "lost_fraction": three_ends(school.lost_frac),
        "mould_cover_fraction": three_ends(school.cover_frac),
        "thrown_fraction": three_ends(school.thrown_frac),
        "total_fraction": three_ends(school.total_frac),
    }


def _costs(least: LeastCost) -> dict[str, Any]:
    return {
        "by_layers": [
            {
                "layers": cost.layers,
                "film_kg": cost.film_kg,
                "film_money": cost.film_money,
                "lost_money": {school.value: three_ends(lost) for school, lost in cost.lost_money},
            }
            for cost in least.costs
        ],
        "optima": [
            {
                "school": one.school.value,
                "layers": one.layers,
                "money": one.money,
                "near_layers": list(one.near),
                "over_spread_layers": list(one.over_spread),
                "fewest_advised": one.at_floor,
            }
            for one in least.optima
        ],
        "advised_layers": list(least.advised),
    }
