"""`balewright layers --chance ...`: how surely a bale gets its layers, and what makes it sure."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.layers_chance_ask import Told, tell_chance
from balewright.cli.layers_chance_options import check_chance
from balewright.cli.layers_options import ask
from balewright.cli.layers_table import headline
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import SPACE, say

if TYPE_CHECKING:  # what is compiled is loaded only when a chance is asked for
    from balewright.flows.measured_spreads import MeasuredSpreads

_POINTS: Final = 100.0


def answer_chance(options: argparse.Namespace) -> int:
    """Tell the chance and the turns for the wanted one, as text, JSON and picture; exit code."""
    check_chance(options)
    told = tell_chance(options, ask(options))
    if options.svg is not None:
        _draw(told, options)
    if options.json:
        print_json("layers", _as_json(told))
    else:
        _print(told, options)
    return 0


def _as_json(told: Told) -> dict[str, Any]:
    expected, goal = told.expected, told.wish.goal
    return {
        "layers": goal.need_layers,
        "allowed_short_fraction": goal.allowed_short_frac,
        "allowed_sliver_m": goal.allowed_sliver_m,
        "everywhere": goal.everywhere,
        "turns": told.asked.turns,
        "lost_at": told.asked.lost_at,
        "chance_fraction": told.chance.chance_frac,
        "chance_error_fraction": told.chance.error_frac,
        "mean_short_fraction": expected.short_frac,
        "mean_short_error_fraction": expected.short_error_frac,
        "film_m_bale": expected.film_m,
        "film_spread_m": expected.film_deviation_m,
        "layer_chances": [
            {"layers": one.layers, "chance_fraction": one.chance_frac} for one in told.layers
        ],
        "spread_from": None if told.measured is None else _measured_json(told.measured),
        "wanted_fraction": told.wish.wanted_frac,
        "turns_for_chance": None if told.found is None else told.found.turns,
        "by_turns": [
            {
                "turns": row.turns,
                "chance_fraction": row.chance_frac,
                "chance_error_fraction": row.error_frac,
                "one_less_fraction": row.one_less_frac,
                "mean_short_fraction": row.short_frac,
                "film_m_bale": row.film_m,
            }
            for row in told.rows
        ],
    }


def _measured_json(found: MeasuredSpreads) -> dict[str, Any]:
    shown = {"diameter_m": found.diameter, "stretch": found.stretch}
    return {
        "bales": found.bales,
        **{
            name: None
            if one is None
            else {
                "readings": one.readings,
                "deviation": one.deviation.best,
                "deviation_low": one.deviation.low,
                "deviation_high": one.deviation.high,
            }
            for name, one in shown.items()
        },
    }


def _print(told: Told, options: argparse.Namespace) -> None:
    print(headline(told.asked, "chance"))
    print(_spreads(options))
    if told.measured is not None:
        for sentence in _measured(told.measured):
            print(sentence)
    print()
    print(_say("now", goal_said=_goal(told), chance_said=_share(told.chance.chance_frac)))
    said = [
        _say("at_least", layers=one.layers, chance_said=_share(one.chance_frac))
        for one in told.layers
    ]
    print(_say("thinnest", layers_said=", ".join(said)))
    print(_say("mean", short_said=_share(told.expected.short_frac)))
    if told.rows:
        _print_rows(told)
    print("\n" + _say("limits"))


def _print_rows(told: Told) -> None:
    with_film = told.rows[0].film_m is not None
    names = ["turns", "chance", "one_less", "short", *(["film"] if with_film else [])]
    print()
    print_table(
        [_say(f"column.{name}") for name in names],
        [
            [
                f"{row.turns}",
                _share(row.chance_frac),
                _share(row.one_less_frac),
                _share(row.short_frac),
                *([f"{row.film_m:.1f}{SPACE}m"] if row.film_m is not None else []),
            ]
            for row in told.rows
        ],
    )
    print()
    wanted, found = _share(told.wish.wanted_frac), told.found
    if found is None:
        print(_say("never", wanted_said=wanted, most_turns=_most_turns()))
    elif found.film_m is None:
        print(_say("found", wanted_said=wanted, turns_needed=found.turns))
    else:
        at = {"turns_needed": found.turns, "film_m": found.film_m}
        print(_say("found_film", wanted_said=wanted, **at))


def _most_turns() -> int:
    from balewright.plan.film.chance_setting import MOST_TURNS

    return MOST_TURNS


def _spreads(options: argparse.Namespace) -> str:
    given: dict[str, float | None] = {
        "diameter": options.diameter_spread_m,
        "advance": options.advance_spread_m,
        "strip": options.strip_spread_m,
    }
    said = [_say(f"spread.{name}", off_mm=off / M_PER_MM) for name, off in given.items() if off]
    if options.stretch_spread:
        said.append(_say("spread.stretch", off_points=_POINTS * options.stretch_spread))
    if options.neck_in_spread:
        said.append(_say("spread.neck_in", off_exponent=f"{options.neck_in_spread:g}"))
    return _say("spreads", spreads_said=", ".join(said)) if said else _say("still")


def _measured(found: MeasuredSpreads) -> list[str]:
    """What the records showed; where they say nothing, that they do."""
    said = [_say("measured", bales=found.bales)]
    shown = {"diameter": (found.diameter, M_PER_MM), "stretch": (found.stretch, 1.0 / _POINTS)}
    for name, (one, unit) in shown.items():
        if one is None:
            said.append("- " + _say(f"measured_none.{name}"))
            continue
        off = {"low": one.deviation.low, "best": one.deviation.best, "high": one.deviation.high}
        ends = {f"{end}_said": f"{value / unit:.2g}" for end, value in off.items()}
        said.append("- " + _say(f"measured.{name}", readings=one.readings, **ends))
    return said


def _goal(told: Told) -> str:
    goal = told.wish.goal
    where = _say("everywhere" if goal.everywhere else "round")
    if goal.allowed_short_frac > 0.0:
        allowed = _share(goal.allowed_short_frac)
        return _say("goal_share", allowed_said=allowed, where_said=where, layers=goal.need_layers)
    if goal.allowed_sliver_m > 0.0:
        allowed_mm = goal.allowed_sliver_m / M_PER_MM
        return _say("goal_sliver", allowed_mm=allowed_mm, where_said=where, layers=goal.need_layers)
    return _say("goal", where_said=where, layers=goal.need_layers)


def _share(share_frac: float) -> str:
    from balewright.pictures.chance_chart import say_chance

    return say_chance(share_frac, say)


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"chance.{key}", **values))


def _draw(told: Told, options: argparse.Namespace) -> None:
    from balewright.pictures.chance_chart import ChancePicture, draw_chance
    from balewright.pictures.plot import on_paper

    if not told.rows:
        need = "a wrapping without a lost roll, so that turns can be compared"
        cure = "Leave out --svg or --lost-at."
        raise BadInput(Fault("--svg", need, f"--lost-at {told.asked.lost_at:g}", cure))
    found = None if told.found is None else told.found.turns
    layers, wanted = told.wish.goal.need_layers, told.wish.wanted_frac
    drawing = on_paper(draw_chance(ChancePicture(told.rows, layers, wanted, found), say))
    write_drawing(options.svg, drawing)
