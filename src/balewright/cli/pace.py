"""`balewright pace`: bales an hour, what holds them back, and what each second is worth."""

from __future__ import annotations

import argparse
from typing import Any

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.given import ends
from balewright.cli.pace_options import add_options, ask, job_of
from balewright.cli.pace_table import print_answer
from balewright.plan.pace.answer import PaceAnswer, answer_pace
from balewright.plan.pace.effects import Effect
from balewright.plan.pace.steady import Shares, WorkPace


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add_options(parser)
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Reckon, then print sentences and tables or JSON, and draw where asked; the exit code."""
    asked = ask(options)
    found = answer_pace(asked, job_of(options, asked))
    if options.svg is not None:
        from balewright.pictures.pace_chart import draw_pace
        from balewright.pictures.plot import on_paper

        write_drawing(options.svg, on_paper(draw_pace(found)))
    if options.json:
        print_json("pace", as_json(found))
    else:
        print_answer(found)
    return 0


def as_json(found: PaceAnswer) -> dict[str, Any]:
    """The answer as plain JSON values."""
    steady, work, phases = found.steady, found.work, found.work.phases
    return {
        **_pace(steady),
        "cycle_s": steady.cycle_s,
        "area_ha_h": steady.area_ha_h,
        "mass_kg": work.mass_kg,
        "held_back_by": str(steady.held_back_by),
        "driver_waits_s": steady.driver_waits_s,
        "wrapper_waits_s": steady.wrapper_waits_s,
        "speed_of_change_m_s": found.turning_speed_m_s,
        "phases": {name: getattr(phases, name) for name in vars(phases)},
        "shares": _shares(steady.shares),
        "seconds": [vars(one) for one in steady.seconds],
        "stops": [
            {
                "key": stop.key,
                "every_bales": stop.every_bales,
                "lasts_s": stop.lasts_s,
                "by_chance": stop.by_chance,
            }
            for stop in work.stops
        ],
        "chance": _chance(found),
        "effects": [_effect(one) for one in found.effects],
        "by_speed": [vars(one) for one in found.by_speed],
    }


def _pace(pace: WorkPace) -> dict[str, float]:
    return {"pace_bales_h": pace.pace_bales_h, "throughput_t_h": pace.throughput_t_h}


def _shares(shares: Shares) -> dict[str, float]:
    return dict(vars(shares))


def _chance(found: PaceAnswer) -> dict[str, Any]:
    chance = found.chance
    return {
        "bales": chance.bales,
        "runs": chance.runs,
        "pace_bales_h": ends(chance.pace_bales_h),
        "throughput_t_h": ends(chance.throughput_t_h),
        "finish_h": ends(chance.finish_h),
        "mean_bales_h": chance.mean_bales_h,
        "error_bales_h": chance.error_bales_h,
        "shares": _shares(chance.shares),
        "wrapper_idle_frac": chance.wrapper_idle_frac,
        "seconds": [vars(one) for one in chance.seconds],
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "setting": effect.setting,
        "now": effect.now,
        "step": effect.step,
        "down": None if effect.down is None else _pace(effect.down),
        "up": None if effect.up is None else _pace(effect.up),
    }
