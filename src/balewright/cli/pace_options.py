"""The options of `balewright pace`, and the work or settings they make."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Final

from balewright.cli.ranges import Number, add_numbers, check_numbers
from balewright.cli.sheet_options import conditions_from, unsaid_in_sheet
from balewright.plan.pace.answer import USUAL_SPREAD, Job
from balewright.plan.pace.chance import bales_of_field
from balewright.plan.pace.settings import CHANGE_FILM, CHANGE_NET, Settings, work_of
from balewright.plan.pace.variation import MOST_DRAWS, Shape
from balewright.plan.pace.work import Headland, Phases, Stop, Work
from balewright.plan.sheet.to_pace import FILM_BREAK, Unsaid, settings_from_sheet
from balewright.quantities.errors import BadInput, Fault

_PHASES: Final = {
    "--fill-s": Number(0.1, 36_000.0, "seconds in which crop flows into a bale"),
    "--bind-s": Number(0.0, 3600.0, "seconds from full until bound"),
    "--gate-s": Number(0.0, 3600.0, "seconds until the chamber can be filled again"),
    "--take-over-s": Number(0.0, 3600.0, "seconds until the bale lies on the wrapper"),
    "--wrap-s": Number(0.0, 3600.0, "seconds of wrapping"),
    "--tip-s": Number(0.0, 3600.0, "seconds of cutting and tipping"),
    "--bale-kg": Number(10.0, 3000.0, "fresh mass of a bale, kg"),
    "--headlands-a-bale": Number(0.0, 50.0, "headland turns a bale"),
    "--film-bales": Number(1.0, 1e6, "bales to a change of the film rolls"),
    "--net-bales": Number(1.0, 1e6, "bales to a change of the net roll"),
}
_FIELD: Final = {
    "--windrow-kg-m": Number(0.2, 30.0, "fresh crop in a metre of windrow, kg"),
    "--yield-t-ha": Number(0.1, 30.0, "or dry matter yield, t/ha, with --gathered-m"),
    "--gathered-m": Number(0.5, 40.0, "metres raked into one row"),
    "--speed-km-h": Number(0.36, 36.0, "forward speed, km/h", 9.0),
    "--run-m": Number(10.0, 10_000.0, "metres of row between two turns"),
}
_LABELS: Final = {
    "--film-width-mm": Number(50.0, 1500.0, "film width on the roll, mm"),
    "--film-thickness-um": Number(5.0, 100.0, "film thickness before stretch, µm"),
    "--film-roll-m": Number(1.0, 20_000.0, "metres of film on a new roll"),
    "--net-roll-m": Number(1.0, 20_000.0, "metres of net on a new roll"),
}
_SET: Final = {
    "--binding-turns": Number(0.0, 60.0, "turns of binding"),
    "--binding-delay-s": Number(0.0, 20.0, "seconds from full to binding"),
    "--open-s": Number(0.0, 60.0, "seconds the chamber stands open"),
    "--turns": Number(0.5, 200.0, "wrap turns of each roll"),
    "--wrap-rpm": Number(1.0, 80.0, "wrap turns a minute"),
    "--tip-delay-s": Number(0.0, 60.0, "seconds before tipping"),
}
_STOPS: Final = {
    "--headland-s": Number(0.0, 600.0, "seconds of one headland turn", 8.0),
    "--film-change-s": Number(0.0, 3600.0, "seconds to change the film rolls", 180.0),
    "--net-change-s": Number(0.0, 3600.0, "seconds to change the net roll", 240.0),
    "--break-bales": Number(1.0, 1e6, "bales to one film break"),
    "--break-s": Number(0.0, 3600.0, "seconds lost by one", 90.0),
    "--buffer-s": Number(0.0, 3600.0, "seconds of crop it gathers while it binds and opens", 0.0),
}
_CHANCE: Final = {
    "--bales": Number(1, 100_000, "bales of the job", 200, whole=True),
    "--runs": Number(2, 100_000, "draws", 400, whole=True),
    "--seed": Number(0, 2**62, "of the draws", 1, whole=True),
    "--field-ha": Number(0.01, 10_000.0, "the job as a field instead of --bales, ha"),
    "--fill-spread": Number(0, 3, "spread of fill times over their mean", 0.20, share=True),
    "--wrap-spread": Number(0, 3, "spread of wrapping times over their mean", 0.05, share=True),
    "--other-spread": Number(0, 3, "spread of binding, gate and tipping", 0.10, share=True),
}
_NUMBERS: Final = {**_PHASES, **_FIELD, **_LABELS, **_SET, **_STOPS, **_CHANCE}


def add_options(parser: argparse.ArgumentParser) -> None:
    """A make with its crop and field, or bare times; then stops, the job and the answer."""
    make = parser.add_argument_group("a make in a field, as its sheet would set it")
    make.add_argument("--profile", metavar="KEY|FILE", help="a make, or a profile file (TOML)")
    make.add_argument("--crop", help="as in sheet: grass-silage, haylage, lucerne, hay, straw")
    make.add_argument("--moisture", help="water of the fresh mass: 62%% or 0.62")
    make.add_argument("--stretch", help="pre-stretch the label allows: 70%% or 0.70")
    for table in (_FIELD, _LABELS):
        add_numbers(make, table)
    add_numbers(parser.add_argument_group("set otherwise than the sheet"), _SET)
    add_numbers(parser.add_argument_group("or bare times"), _PHASES)
    add_numbers(parser.add_argument_group("stops"), _STOPS)
    job = parser.add_argument_group("the job, and how times vary")
    shapes = [shape.value for shape in Shape]
    job.add_argument("--shape", choices=shapes, default="gamma", help="default gamma")
    add_numbers(job, _CHANCE)
    out = parser.add_argument_group("answer")
    out.add_argument("--svg", type=Path, metavar="FILE", help="draw it into FILE")
    out.add_argument("--json", action="store_true", help="one JSON object with a version in it")


def ask(options: argparse.Namespace) -> Settings | Work:
    """The settings of a make, or a work of bare times. Raises BadInput with every fault."""
    check_numbers(options, _NUMBERS)
    if (options.profile is None) == (options.fill_s is None):
        given = "neither" if options.profile is None else "both"
        need = "either --profile with a crop and a field, or --fill-s with the other times"
        raise BadInput(Fault("--profile", need, given, "Give the one that you know."))
    return _bare(options) if options.profile is None else _of_make(options)


def job_of(options: argparse.Namespace, asked: Settings | Work) -> Job:
    """How much is done and how the times vary."""
    bales = options.bales
    if options.field_ha is not None:
        work = asked if isinstance(asked, Work) else work_of(asked)
        if work.bale_m2 is None:
            need, cure = "--gathered-m beside it", "Give the metres raked into one row."
            raise BadInput(Fault("--field-ha", need, "none", cure))
        bales = bales_of_field(work, options.field_ha)
    other = options.other_spread
    variation = replace(
        USUAL_SPREAD,
        fill_frac=options.fill_spread,
        wrap_frac=options.wrap_spread,
        bind_frac=other,
        gate_frac=other,
        tip_frac=other,
        shape=Shape(options.shape),
    )
    if bales * options.runs > MOST_DRAWS:
        need = f"{MOST_DRAWS} bales times draws at most"
        cure = f"With {bales} bales give --runs {max(2, MOST_DRAWS // bales)} or fewer."
        raise BadInput(Fault("--runs", need, f"{options.runs}", cure))
    return Job(bales, options.runs, options.seed, variation)


def _bare(options: argparse.Namespace) -> Work:
    if options.bale_kg is None:
        cure = "Give the fresh mass, as in 600."
        raise BadInput(Fault("--bale-kg", "the mass of a bale beside --fill-s", "none", cure))
    names = ("bind_s", "gate_s", "take_over_s", "wrap_s", "tip_s")
    rest = {name: getattr(options, name) or 0.0 for name in names}
    stops = []
    for key, every, lasts_s in (
        (CHANGE_FILM, options.film_bales, options.film_change_s),
        (CHANGE_NET, options.net_bales, options.net_change_s),
    ):
        if every is not None:
            stops.append(Stop(key, every, lasts_s))
    if options.break_bales is not None:
        stops.append(Stop(FILM_BREAK, options.break_bales, options.break_s, by_chance=True))
    return Work(
        Phases(options.fill_s, **rest, buffer_s=options.buffer_s),
        options.bale_kg,
        tuple(stops),
        Headland(options.headlands_a_bale or 0.0, options.headland_s),
    )


def _of_make(options: argparse.Namespace) -> Settings:
    from balewright import __version__
    from balewright.flows.find_profile import find_profile
    from balewright.plan.sheet.rules import plan_bale

    faults = [
        Fault(f"--{name}", "a value with --profile", "none", "Say what is baled.")
        for name in ("crop", "moisture")
        if getattr(options, name) is None
    ]
    if faults:
        raise BadInput(*faults)
    machine = find_profile(options.profile)
    told = argparse.Namespace(**{**unsaid_in_sheet(), **vars(options)})
    if options.yield_t_ha is None:
        told.gathered_m = None
    sheet = plan_bale(machine, conditions_from(told), None, __version__)
    unsaid = Unsaid(
        gathered_m=options.gathered_m,
        run_m=options.run_m,
        turn_s=options.headland_s,
        film_change_s=options.film_change_s,
        net_change_s=options.net_change_s,
        break_bales=options.break_bales,
        break_s=options.break_s,
    )
    settings = replace(settings_from_sheet(sheet, machine, unsaid), buffer_s=options.buffer_s)
    return _set_otherwise(options, settings)


def _set_otherwise(options: argparse.Namespace, settings: Settings) -> Settings:
    bind = {
        name: value
        for name, value in (
            ("turns", options.binding_turns),
            ("delay_s", options.binding_delay_s),
            ("open_s", options.open_s),
        )
        if value is not None
    }
    wrap = {
        name: value
        for name, value in (
            ("turns", options.turns),
            ("rpm", options.wrap_rpm),
            ("tip_delay_s", options.tip_delay_s),
        )
        if value is not None
    }
    settings = replace(settings, bind=replace(settings.bind, **bind))
    if wrap and settings.wrap is None:
        need = "film on a machine that wraps"
        cure = "Give the film's label with --film-width-mm and the rest of it."
        raise BadInput(Fault("--turns", need, "none", cure))
    if settings.wrap is not None:
        settings = replace(settings, wrap=replace(settings.wrap, **wrap))
    return settings
