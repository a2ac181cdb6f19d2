"""`balewright layers`: how much film a bale really gets, and where it is thinnest."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.layers_chance import answer_chance
from balewright.cli.layers_chance_options import add_chance_options, asks_chance
from balewright.cli.layers_course import add_course_options, answer_course
from balewright.cli.layers_options import Asked, add_options, ask
from balewright.cli.layers_real import add_real_options, answer_real, is_real
from balewright.cli.layers_table import print_answer
from balewright.cli.layers_turns import cliff_of, enough_turns, film_of_bale, metres_m
from balewright.quantities.errors import BadInput, Fault
from balewright.words.say import say


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    add_course_options(parser)
    add_chance_options(parser)
    add_real_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Count, then print a table or JSON, and draw where asked; the exit code."""
    if is_real(options):
        if asks_chance(options):
            need, cure = "no options of a real bale beside it", "Ask one at a time."
            raise BadInput(Fault("--chance", need, "both", cure))
        return answer_real(options)
    if asks_chance(options):
        return answer_chance(options)
    if options.event:
        return answer_course(options)
    asked = ask(options)
    if options.svg is not None:
        _draw(asked, options.svg)
    if options.json:
        print_json("layers", _as_json(asked))
    else:
        print_answer(asked)
    return 0


def _as_json(asked: Asked) -> dict[str, Any]:
    count, wrapping, flat = asked.count, asked.wrapping, asked.count.flat
    use, cliff = film_of_bale(asked), cliff_of(asked)
    whole = use if asked.lost_at is None else None  # a lost roll says nothing of the next bales
    answered: dict[str, Any] = {
        "thinnest": count.thinnest,
        "round_mean": count.round_mean,
        "short_fraction": count.short_frac,
        "sliver_m": count.sliver_m,
        "thin_at_fraction": count.thin_at_frac,
        "layers": wrapping.need_layers,
        "binding_layers": wrapping.binding_layers,
        "thinnest_with_binding": count.thinnest_with_binding,
        "short_fraction_with_binding": count.bound_short_frac,
        "sliver_with_binding_m": count.bound_sliver_m,
        "flat_thinnest": flat.thinnest,
        "flat_mean": flat.mean,
        "flat_short_fraction": flat.short_frac,
        "flat_sliver_m": flat.sliver_m,
        "flat_depth_m": flat.depth_m,
        "flat_band_m2": flat.band_m2,
        "flat_rim_m2": flat.rim_m2,
        "strip_m": wrapping.strip_m,
        "bale_turn": wrapping.bale_turn,
        "cliff_diameter_m": None if cliff is None else cliff.diameter_m,
        "film_m_bale": metres_m(asked),
        "film_g_bale": None if use is None else use.g_bale,
        "bales_per_roll": None if whole is None else whole.bales_per_roll,
        "bales_per_set": None if whole is None else whole.bales_per_set,
    }
    answered["turns_from_start" if asked.lost_at is None else "turns_needed"] = enough_turns(asked)
    return answered


def _draw(asked: Asked, file: Path) -> None:
    from balewright.pictures.layer_map import draw_layer_map

    drawing = draw_layer_map(asked.bale, asked.count, asked.wrapping.need_layers, say)
    write_drawing(file, drawing)
