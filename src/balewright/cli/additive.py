"""`balewright additive`: hay acid by moisture or any additive by its label, and the tank."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.given import ends, print_lines, share
from balewright.cli.ranges import Number, add_numbers, as_options, faults_of
from balewright.plan.keeping.additive import (
    CAUTIONS,
    LEAST_MOISTURE_FRAC,
    AcidDose,
    Product,
    Spraying,
    acid_dose,
    spray,
)
from balewright.plan.keeping.additive_tank import (
    DoseGiven,
    DoseVerdict,
    TankPlan,
    Used,
    judge_used,
    plan_tank,
)
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.words.say import say

_DOSE: Final = {
    "--density-kg-l": Number(
        0.7,
        1.6,
        "kilograms a litre of the product",
        0.99,
        cure="Give kilograms a litre, as the label says.",
    ),
    "--rate-l-t": Number(
        0.001,
        1000,
        "or: the label's rate, litres a tonne (inoculant as mixed)",
        cure="Give litres a tonne, as the label says.",
    ),
}
_JOB: Final = {
    "--feed-t-h": Number(0.5, 200, "fresh crop into the machine, tonnes an hour"),
    "--bale-kg": Number(20, 3000, "fresh mass of a bale, kg"),
    "--tank-l": Number(1, 5000, "litres that a full tank gives"),
    "--day-bales": Number(1, 5000, "bales planned for the day", whole=True),
}
_MEASURED: Final = {
    "--used-l": Number(0, 100_000, "litres gone from the tank"),
    "--over-bales": Number(1, 100_000, "over so many bales", whole=True),
    "--gauge-l": Number(0, 1000, "how far one reading of the gauge may be off, litres", 2),
    "--bale-off-kg": Number(0, 1000, "how far the mass of a bale may be off, kg", 0),
}
_NUMBERS: Final = {**_DOSE, **_JOB, **_MEASURED}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    dose = parser.add_argument_group("the dose: hay acid by moisture, or the label's rate")
    dose.add_argument("--moisture", metavar="SHARE", help="of the hay, for acid: 24%% or 0.24")
    dose.add_argument("--active", metavar="SHARE", default="100%",
                      help="pure propionic acid in the product; default 100%%")  # fmt: skip
    add_numbers(dose, _DOSE)
    add_numbers(parser.add_argument_group("the job"), _JOB)
    add_numbers(parser.add_argument_group("measured"), _MEASURED)
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw the sources' rates over moisture into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Work the rate out, print sentences or JSON, draw where asked; the exit code."""
    _check(options)
    moisture_frac = None
    if options.moisture is not None:
        moisture_frac = share("--moisture", options.moisture)
    dose = None if moisture_frac is None else acid_dose(moisture_frac)
    product = _product(options)
    rate_l_t = options.rate_l_t
    if rate_l_t is None and dose is not None:
        rate_l_t = product.litres_l_t(dose.kg_t.best)
    found = None if rate_l_t is None else spray(rate_l_t, options.feed_t_h, options.bale_kg)
    tank = None
    if found is not None and options.tank_l is not None:
        tank = plan_tank(options.tank_l, found, options.day_bales)
    given = None if rate_l_t is None else _given(options, rate_l_t)
    if options.svg is not None and moisture_frac is not None:
        from balewright.pictures.dose_chart import draw_dose_chart

        write_drawing(options.svg, draw_dose_chart(moisture_frac, say))
    if options.json:
        print_json("additive", _as_json(dose, found, tank, given))
        return 0
    print_lines([say(Reason(key)) for key in CAUTIONS])
    print()
    if moisture_frac is not None:
        _print_dose(moisture_frac, dose)
    print_lines([*_rate(options, found), *_tank(options, tank), *_measured(given, rate_l_t)])
    return 0


def _product(options: argparse.Namespace) -> Product:
    try:
        return Product(share("--active", options.active), options.density_kg_l)
    except BadInput as error:
        raise as_options(error, {"active_frac": "--active"}) from None


def _check(options: argparse.Namespace) -> None:
    faults = faults_of(options, _NUMBERS)
    if (options.moisture is None) == (options.rate_l_t is None):
        said = "neither" if options.moisture is None else "both"
        cure = "Give the hay's moisture for acid, or the label's rate."
        faults.append(Fault("--moisture", "either it or --rate-l-t", said, cure))
    if (options.used_l is None) != (options.over_bales is None):
        cure = "Give both."
        faults.append(Fault("--used-l", "--over-bales beside it", "one of them", cure))
    if options.used_l is not None and options.bale_kg is None:
        faults.append(Fault("--used-l", "--bale-kg beside it", "none", "Add the bale's mass."))
    if options.svg is not None and options.moisture is None:
        faults.append(Fault("--svg", "--moisture beside it", "none", "Only acid has a picture."))
    if faults:
        raise BadInput(*faults)


def _given(options: argparse.Namespace, rate_l_t: float) -> DoseGiven | None:
    if options.used_l is None:
        return None
    off_kg, mass_kg = options.bale_off_kg, options.bale_kg
    mass = Interval(max(mass_kg - off_kg, 20.0), mass_kg, mass_kg + off_kg)
    return judge_used(Used(options.used_l, options.gauge_l, options.over_bales, mass), rate_l_t)


def _as_json(
    dose: AcidDose | None, found: Spraying | None, tank: TankPlan | None, given: DoseGiven | None
) -> dict[str, Any]:
    return {
        "acid_kg_t": None if dose is None else ends(dose.kg_t),
        "sources": []
        if dose is None
        else [
            {"source": one.source, "low_kg_t": one.low_kg_t, "high_kg_t": one.high_kg_t}
            for one in dose.rates
        ],
        "rate_l_t": None if found is None else found.l_t,
        "rate_l_h": None if found is None else found.l_h,
        "rate_l_min": None if found is None else found.l_min,
        "rate_l_bale": None if found is None else found.l_bale,
        "tank_minutes": None if tank is None else tank.minutes,
        "tank_bales": None if tank is None else tank.bales,
        "tank_changes": None if tank is None else tank.changes,
        "given_l_t": None if given is None else ends(given.given_l_t),
        "given_verdict": None if given is None else given.verdict.value,
        "settle_bales": None if given is None else given.settle_bales,
        "cautions": [say(Reason(key)) for key in CAUTIONS],
    }


def _said(key: str, **values: ReasonValue) -> str:
    return say(because(f"additive.{key}", **values))


def _print_dose(moisture_frac: float, dose: AcidDose | None) -> None:
    if dose is None:
        dry = moisture_frac < LEAST_MOISTURE_FRAC
        key = "dose_dry" if dry else "dose_wet"
        print(say(because(f"additive.{key}", moisture_frac=moisture_frac)))
        return
    low, best, high = (f"{end:.3g}" for end in (dose.kg_t.low, dose.kg_t.best, dose.kg_t.high))
    if low == high:
        print(_said("dose_one", moisture_frac=moisture_frac, best_said=best))
    else:
        values: dict[str, ReasonValue] = {"low_said": low, "high_said": high, "best_said": best}
        print(_said("dose", moisture_frac=moisture_frac, **values))
    rows = [
        [
            _said(f"name.{one.source.split('-')[0]}"),
            _range(one.low_kg_t, one.high_kg_t),
            _kind(one.marginal, one.high_kg_t),
        ]
        for one in dose.rates
    ]
    print_table([_said(f"column.{name}") for name in ("source", "kg_t", "kind")], rows)
    print()


def _range(low_kg_t: float, high_kg_t: float | None) -> str:
    if high_kg_t is None or f"{high_kg_t:.3g}" == f"{low_kg_t:.3g}":
        return f"{low_kg_t:.3g}"
    return f"{low_kg_t:.3g} to {high_kg_t:.3g}"


def _kind(marginal: bool, high_kg_t: float | None) -> str:
    if high_kg_t is None:
        return _said("at_least")
    return _said("marginal") if marginal else _said("recommended")


def _rate(options: argparse.Namespace, found: Spraying | None) -> list[str]:
    if found is None:
        return []
    rate_said, lines = f"{found.l_t:.3g}", []
    if found.l_h is None or found.l_min is None:
        lines.append(_said("rate_tonne", rate_said=rate_said))
    else:
        values = {"hour_said": f"{found.l_h:.3g}", "minute_said": f"{found.l_min:.3g}"}
        lines.append(_said("rate", rate_said=rate_said, feed_t_h=options.feed_t_h, **values))
    if found.l_bale is not None:
        bale_said = f"{found.l_bale:.3g}"
        lines.append(_said("rate_bale", bale_said=bale_said, bale_kg=options.bale_kg))
    return [*lines, _said("follow")]


def _tank(options: argparse.Namespace, tank: TankPlan | None) -> list[str]:
    if tank is None:
        return []
    lines = []
    if tank.minutes is not None:
        lines.append(_said("tank", tank_l=options.tank_l, minutes_said=f"{tank.minutes:.0f}"))
    if tank.bales is not None:
        lines.append(_said("tank_bales", tank_l=options.tank_l, bales=tank.bales))
    if tank.changes is not None and tank.day_l is not None:
        values = {"day_bales": options.day_bales, "changes": tank.changes}
        lines.append(_said("tank_day", day_l=tank.day_l, **values))
    return lines


def _measured(given: DoseGiven | None, rate_l_t: float | None) -> list[str]:
    if given is None or rate_l_t is None:
        return []
    found = given.given_l_t
    said = {"best_said": found.best, "low_said": found.low, "high_said": found.high}
    values = {name: f"{value:.3g}" for name, value in said.items()}
    wanted, verdict = f"{rate_l_t:.3g}", given.verdict.value
    lines = [_said("given", verdict=verdict, wanted_said=wanted, tolerance_frac=0.10, **values)]
    if given.settle_bales is not None:
        lines.append(_said("settle", bales=given.settle_bales))
    elif given.verdict is DoseVerdict.NOT_SHOWN:
        lines.append(_said("settle_never"))
    return lines
