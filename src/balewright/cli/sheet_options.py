"""What `balewright sheet` can be told, and the conditions that come of it."""

from __future__ import annotations

import argparse
from typing import Any, Final

from balewright.cli.reader_options import add_reader
from balewright.cli.sheet_files import add_files
from balewright.cli.sheet_more import add_more, more_from
from balewright.cli.sheet_what_if import add_what_if
from balewright.plan.crop import Crop, windrow_kg_m
from balewright.plan.film.strip import Film
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import KG_PER_T, KM_H_PER_M_S, M2_PER_HA, M_PER_MM, M_PER_UM

FILM_OPTIONS: Final = ("film_width_mm", "film_thickness_um", "film_roll_m", "stretch")
#: option -> lowest, highest, cure; in the units they are typed in.
_RANGES: Final = {
    "--windrow-kg-m": (0.2, 30.0, "Give kilograms on a metre of row, as in 4."),
    "--yield-t-ha": (0.1, 30.0, "Give tonnes of dry matter a hectare, as in 3.5."),
    "--gathered-m": (0.5, 40.0, "Give metres raked into one row, as in 7."),
    "--speed-km-h": (0.36, 36.0, "Give kilometres an hour, as in 9."),
    "--months": (0.0, 60.0, "Give months, as in 8."),
    "--bales": (1.0, 100_000.0, "Give the bales of the job, as in 200."),
    "--film-width-mm": (50.0, 1500.0, "Give millimetres, as in 750."),
    "--film-thickness-um": (5.0, 100.0, "Give micrometres, as in 25."),
    "--film-roll-m": (1.0, 20_000.0, "Give metres on a new roll, as in 1500."),
    "--net-roll-m": (1.0, 20_000.0, "Give metres on a new roll, as in 3000."),
}
_MOST_STRETCH: Final = 2.0
_EXAMPLE: Final = """
example:
  balewright sheet --profile mossgrinder-m2 --crop grass-silage --moisture 62% --windrow-kg-m 4 \\
    --film-width-mm 750 --film-thickness-um 25 --film-roll-m 1500 --stretch 70% --net-roll-m 3000 \\
    --slope 8% --months 10 --bales 200 --pdf sheet.pdf
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Every option of the command; shares are written 62% or 0.62."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EXAMPLE
    whom = parser.add_argument_group("machine").add_mutually_exclusive_group(required=True)
    whom.add_argument("--profile", metavar="KEY|FILE", help="a make, or a profile file (TOML)")
    whom.add_argument("--machine", metavar="SERIAL", help="a machine of the register")
    job = parser.add_argument_group("crop")
    job.add_argument("--crop", required=True, help=", ".join(_dashed(crop) for crop in Crop))
    job.add_argument("--moisture", required=True, help="water of the fresh mass: 62%% or 0.62")
    job.add_argument("--windrow-kg-m", type=float, help="fresh mass on a metre of row")
    job.add_argument(
        "--yield-t-ha", type=float, help="or dry matter yield, t/ha, with --gathered-m"
    )
    job.add_argument("--gathered-m", type=float, help="width raked into one row, m")
    job.add_argument("--speed-km-h", type=float, default=9.0, help="forward speed (default 9)")
    job.add_argument("--months", type=float, default=8.0, help="months kept (default 8)")
    job.add_argument("--bales", type=int, default=100, help="bales of the job (default 100)")
    ground = parser.add_argument_group("ground")
    ground.add_argument("--slope", default="0%", help="rise over run: 8%% or 0.08 (default 0%%)")
    ground.add_argument("--dusty", action="store_true", help="dust flies")
    ground.add_argument("--stony", action="store_true", help="stones in the row")
    rolls = parser.add_argument_group("rolls, as their labels say")
    rolls.add_argument("--film-width-mm", type=float, help="film width on the roll")
    rolls.add_argument("--film-thickness-um", type=float, help="film thickness before stretch, µm")
    rolls.add_argument("--film-roll-m", type=float, help="metres of film on a new roll")
    rolls.add_argument("--stretch", help="pre-stretch the label allows: 70%% or 0.70")
    rolls.add_argument("--net-roll-m", type=float, help="metres of net on a new roll")
    add_more(parser)
    add_what_if(parser)
    out = parser.add_argument_group("answer")
    out.add_argument("--keep", action="store_true", help="keep the sheet in the register")
    add_files(out, parser)
    add_reader(parser)
    out.add_argument("--json", action="store_true", help="one JSON object with a version in it")


def unsaid_in_sheet() -> dict[str, Any]:
    """What each option is where nobody says it, for a command that asks for a part of them."""
    parser = argparse.ArgumentParser()
    add_options(parser)
    return {action.dest: action.default for action in parser._actions}


def conditions_from(options: argparse.Namespace) -> Conditions:
    """The conditions that were told; BadInput with the option's name and the cure."""
    _check(options)
    crop, moisture_frac = _crop(options.crop), _share("--moisture", options.moisture)
    return Conditions(
        crop=crop,
        moisture_frac=moisture_frac,
        windrow_kg_m=_windrow(options, moisture_frac),
        speed_m_s=options.speed_km_h / KM_H_PER_M_S,
        slope_frac=_share("--slope", options.slope),
        dusty=options.dusty,
        stony=options.stony,
        film=_film(options),
        net_roll_m=options.net_roll_m,
        storage_months=options.months,
        bales=options.bales,
        **more_from(options),
    )


def _check(options: argparse.Namespace) -> None:
    """Every number out of range at once, by the name and in the unit it was typed in."""
    faults = []
    for option, (low, high, cure) in _RANGES.items():
        value = getattr(options, option[2:].replace("-", "_"))
        if value is not None and not low <= value <= high:
            need = f"a number from {low:g} to {high:g}"
            faults.append(Fault(option, need, f"{value:g}", cure))
    if faults:
        raise BadInput(*faults)


def _dashed(crop: Crop) -> str:
    return crop.value.replace(" ", "-")


def _crop(given: str) -> Crop:
    by_word = {_dashed(crop): crop for crop in Crop}
    crop = by_word.get(given.strip().lower().replace(" ", "-"))
    if crop is None:
        need = f"one of {', '.join(by_word)}"
        raise BadInput(Fault("--crop", need, repr(given), "Choose the one that is nearest."))
    return crop


def _share(option: str, given: str) -> float:
    """62% or 0.62; a bare number above 1 could be either and is not guessed."""
    text = given.strip()
    try:
        share = float(text.removesuffix("%"))
    except ValueError:
        share = float("nan")
    if text.endswith("%"):
        share /= 100.0
    most = _MOST_STRETCH if option == "--stretch" else 1.0
    if not 0.0 <= share <= most or (share > 1.0 and not text.endswith("%")):
        need = f"a share from 0% to {most:.0%}, or from 0 to 1"
        raise BadInput(Fault(option, need, repr(given), "Write 62% or 0.62."))
    return share


def _windrow(options: argparse.Namespace, moisture_frac: float) -> float:
    by_yield = (options.yield_t_ha, options.gathered_m)
    if options.windrow_kg_m is not None and by_yield == (None, None):
        return float(options.windrow_kg_m)
    if options.windrow_kg_m is not None or None in by_yield:
        need = "--windrow-kg-m, or --yield-t-ha together with --gathered-m"
        raise BadInput(Fault("windrow", need, "something else", "Give the one that you know."))
    yield_kg_m2 = options.yield_t_ha * KG_PER_T / M2_PER_HA
    return windrow_kg_m(yield_kg_m2, options.gathered_m, moisture_frac)


def _film(options: argparse.Namespace) -> Film | None:
    given = {name: getattr(options, name) for name in FILM_OPTIONS}
    missing = [name for name, value in given.items() if value is None]
    if len(missing) == len(given):
        return None
    if missing:
        names = ", ".join("--" + name.replace("_", "-") for name in missing)
        cure = "All four stand on the roll's label."
        raise BadInput(Fault("film", f"{names} too", "a part of the label", cure))
    return Film(
        width_m=options.film_width_mm * M_PER_MM,
        thickness_m=options.film_thickness_um * M_PER_UM,
        roll_m=options.film_roll_m,
        pre_stretch_frac=_share("--stretch", options.stretch),
    )
