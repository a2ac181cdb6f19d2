"""`balewright rolls`: what a bale takes, on which bale each roll ends, how many to load."""

from __future__ import annotations

import argparse
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.ranges import Number, add_numbers, as_options, check_numbers
from balewright.pictures.roll_day import DayDrawn, draw_roll_day, end_words
from balewright.plan.film.roll_ends import Day, RollDay, RollEnd, roll_ends
from balewright.plan.film.roll_stock import Loading, Stock, UseSpread, rolls_to_load, use_spread
from balewright.plan.film.rolls import (
    FilmBill,
    RollBought,
    binding_metres_m,
    film_bill,
    metres_each_m,
)
from balewright.plan.film.strip import Bale, Film
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM, M_PER_UM
from balewright.words.say import say, say_number

#: A binding roll is walked as a film roll; its thickness enters nothing.
_BINDING_M: Final = 25e-6
_MONEY_DIGITS: Final = (2, 2, 2)
_WRAP: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m", required=True),
    "--length-m": Number(0.3, 3, "width of the bale, along its axis, m", required=True),
    "--turns": Number(0.5, 20_000, "wrap turns of each roll", required=True),
    "--stretch": Number(0, 2, "pre-stretch: 0.70 or 70%", required=True, share=True),
}
_ROLL: Final = {
    "--film-roll-m": Number(1, 20_000, "metres on a new roll", required=True),
    "--film-width-mm": Number(50, 1500, "width of the film on the roll, mm", 750),
    "--film-thickness-um": Number(5, 100, "thickness of the film on the roll, µm", 25),
    "--rest-m": Number(0, 1000, "last metres that stay on the core", 0),
    "--film-roll-money": Number(0, 1e9, "price of a roll, in your own currency"),
    "--dm-kg": Number(1, 5000, "dry matter of a bale, kg, for film and money a tonne"),
}
_DAY: Final = {
    "--bales": Number(1, 100_000, "bales of the day", 100, whole=True),
    "--spare": Number(0, 100_000, "new rolls at hand; none: as many as needed", whole=True),
    "--alone-turns": Number(
        0.5, 20_000, "wrap turns of a roll that works alone; none: the machine waits"
    ),
    "--chance": Number(
        0.5, 0.999, "wanted chance that the rolls loaded are enough", 0.95, share=True
    ),
}
_BINDING: Final = {
    "--binding-turns": Number(0.5, 40, "turns of net or binding film round a bale"),
    "--binding-stretch": Number(0, 2, "how far the binding is stretched", 0, share=True),
    "--binding-left-m": Number(1, 20_000, "metres of binding left on its roll now"),
}
_SPREADS: Final = {
    "--diameter-spread-m": Number(0, 0.5, "how diameters scatter from bale to bale, m", 0.03),
    "--stretch-spread": Number(0, 0.5, "how well the day's stretch is known", 0.03, share=True),
    "--roll-spread-m": Number(0, 4000, "how the lengths of new rolls scatter, m", 0),
    "--breaks": Number(0, 1, "breaks a bale: 0.02 for one in 50 bales", 0, share=True),
    "--break-m": Number(0, 1000, "metres wasted at a break", 0),
}
_NUMBERS: Final = {**_WRAP, **_ROLL, **_DAY, **_BINDING, **_SPREADS}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    wrap = parser.add_argument_group("the bale and its wrap")
    add_numbers(wrap, _WRAP)
    wrap.add_argument(
        "--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2"
    )
    add_numbers(parser.add_argument_group("the roll, as its label says"), _ROLL)
    day = parser.add_argument_group("the day")
    add_numbers(day, _DAY)
    day.add_argument(
        "--left-m",
        type=float,
        nargs="+",
        metavar="N",
        help="metres on each roll now, the first roll first; default: new rolls",
    )
    add_numbers(parser.add_argument_group("the binding"), _BINDING)
    varies = "how things vary, as standard deviations"
    add_numbers(parser.add_argument_group(varies), _SPREADS)
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw the day of the rolls into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


@dataclass(frozen=True)
class _Asked:
    bill: FilmBill
    use: UseSpread
    day: RollDay
    loading: Loading
    binding_m: float | None
    binding_end: RollEnd | None


def answer(options: argparse.Namespace) -> int:
    """Work it out, draw where asked, print; the exit code."""
    check_numbers(options, _NUMBERS)
    asked = _ask(options)
    if options.svg is not None:
        drawn = DayDrawn(options.bales, options.dispensers, asked.day)
        write_drawing(options.svg, draw_roll_day(drawn, say))
    if options.json:
        print_json("rolls", _as_json(asked))
    else:
        _print(options, asked)
    return 0


def _ask(options: argparse.Namespace) -> _Asked:
    bale = Bale(options.diameter_m, options.length_m)
    thickness_m = options.film_thickness_um * M_PER_UM
    film = Film(options.film_width_mm * M_PER_MM, thickness_m, options.film_roll_m, options.stretch)
    try:
        roll = RollBought(film, options.rest_m, options.film_roll_money)
        turns = (options.turns,) * options.dispensers
        use = UseSpread(
            **{
                **asdict(
                    use_spread(
                        bale,
                        options.turns,
                        options.stretch,
                        options.diameter_spread_m,
                        options.stretch_spread,
                    )
                ),
                "break_share": options.breaks,
                "break_m": options.break_m,
            }
        )
        left_m = tuple(options.left_m or (options.film_roll_m,) * options.dispensers)
        stock = Stock(left_m, roll, options.roll_spread_m)
        alone_m = None
        if options.alone_turns is not None:
            (alone_m,) = metres_each_m(film, bale, (options.alone_turns,))
        uses = (use,) * options.dispensers
        return _Asked(
            bill=film_bill(roll, bale, turns, options.dm_kg),
            use=use,
            day=roll_ends(uses, stock, Day(options.bales, options.spare, alone_m)),
            loading=rolls_to_load(uses, stock, options.bales, options.chance),
            **_binding(options, bale),
        )
    except BadInput as error:
        raise as_options(error, _OPTIONS) from None


def _binding(options: argparse.Namespace, bale: Bale) -> dict[str, Any]:
    """Metres of binding a bale, and where its roll ends in the day; None where not asked."""
    if options.binding_turns is None:
        return {"binding_m": None, "binding_end": None}
    metres_m = binding_metres_m(bale, options.binding_turns, options.binding_stretch)
    end = None
    if options.binding_left_m is not None:
        use = UseSpread(metres_m, metres_m * options.diameter_spread_m / bale.diameter_m)
        film = Film(bale.length_m, _BINDING_M, options.binding_left_m, 0.0)
        stock = Stock((options.binding_left_m,), RollBought(film))
        end = next(iter(roll_ends((use,), stock, Day(options.bales, 0)).ends), None)
    return {"binding_m": metres_m, "binding_end": end}


#: field of the core -> option of the command.
_OPTIONS: Final = {
    "rest_m": "--rest-m",
    "dispensers": "--left-m",
    "left_m": "--left-m",
    "bales": "--bales",
    "spare_rolls": "--spare",
    "roll_spread_m": "--roll-spread-m",
    "bale_spread_m": "--diameter-spread-m",
    "day_spread_m": "--stretch-spread",
}


def _as_json(asked: _Asked) -> dict[str, Any]:
    bill, day, loading = asked.bill, asked.day, asked.loading
    return {
        "each_m": list(bill.each_m),
        "film_m_bale": bill.film_m,
        "film_g_bale": bill.film_g,
        "bales_per_roll": bill.bales_per_roll,
        "money_bale": bill.bale_money,
        "film_kg_t_dm": bill.film_kg_t,
        "money_t_dm": bill.film_money_t,
        "ends": [asdict(end) for end in day.ends],
        "new_rolls": day.new_rolls,
        "stopped_at": day.stopped_at,
        "left_m": list(day.left_m),
        "rolls_to_load": loading.rolls,
        "rolls_each": list(loading.each),
        "chance": loading.chance_share,
        "rolls_on_average": loading.on_average,
        "binding_m_bale": asked.binding_m,
        "binding_end": None if asked.binding_end is None else asdict(asked.binding_end),
        "bale_spread_m": asked.use.bale_spread_m,
        "day_spread_m": asked.use.day_spread_m,
    }


def _print(options: argparse.Namespace, asked: _Asked) -> None:
    bill, day, loading = asked.bill, asked.day, asked.loading
    print(_say("bale", film_m=bill.film_m, film_g=bill.film_g, bales_one=bill.bales_per_roll))
    if bill.bale_money is not None:
        print(_say("money", bale_said=_money(bill.bale_money)))
    if bill.film_money_t is not None and bill.film_kg_t is not None:
        print(_say("money_t", film_kg=bill.film_kg_t, tonne_said=_money(bill.film_money_t)))
    elif bill.film_kg_t is not None:
        print(_say("kg_t", film_kg=bill.film_kg_t))
    print("\n" + _say("day", bales=options.bales))
    for end in day.ends:
        print(f"- {say(end_words(end))}")
    if not day.ends:
        print(_say("no_end"))
    if day.stopped_at is None:
        print(_say("lasts", bales=options.bales, rolls=day.new_rolls))
    else:
        print(_say("stopped", bale_no=day.stopped_at))
    facts: dict[str, ReasonValue] = {"chance_frac": options.chance}
    if loading.rolls:
        print(_say("load", rolls=loading.rolls, on_average=loading.on_average, **facts))
    else:
        print(_say("load_none", **facts))
    if asked.binding_m is not None:
        print(_say("binding", binding_m=asked.binding_m))
    if asked.binding_end is not None:
        end = asked.binding_end
        ends = {"bale_no": end.bale_no, "earliest": end.earliest, "latest": end.latest}
        key = "binding_end_sure" if end.earliest == end.latest else "binding_end"
        print(_say(key, **{name: bale or end.bale_no for name, bale in ends.items()}))
    spreads = {"bale_spread_m": asked.use.bale_spread_m, "day_spread_m": asked.use.day_spread_m}
    print("\n" + _say("limits", **spreads))


def _money(value: float) -> str:
    return say_number(value, _MONEY_DIGITS)


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"rolls.{key}", **values))
