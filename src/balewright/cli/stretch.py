"""`balewright stretch`: the stretch that really happened, from metres, marks or strips."""

from __future__ import annotations

import argparse
import math
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.ranges import Number, add_numbers, as_options, check_numbers
from balewright.cli.stretch_answer import Answered
from balewright.cli.stretch_text import print_answer
from balewright.pictures.stretch_chart import Found, draw_stretch
from balewright.plan.film.on_bale import (
    Taped,
    neck_in_on_bale,
    stretch_on_bale,
    turning_on_bale,
)
from balewright.plan.film.settle import Limits
from balewright.plan.film.stretch import (
    Doubts,
    Drawn,
    stretch_from_metres,
    tension_from_metres,
)
from balewright.plan.film.strip import Bale
from balewright.plan.film.two_marks import (
    Marks,
    judge_marks,
    label_limits,
    read_marks,
)
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import say

_MARKS: Final = {
    "--marks-mm": Number(20, 2000, "distance of the two marks on the roll, mm", 100),
}
_LIMITS: Final = {
    "--stretch": Number(0.05, 2, "the stretch wanted: 0.70 or 70%", share=True),
    "--give-or-take": Number(
        0.001, 0.5, "how far it may be off: 0.03 for 3 points", 0.03, share=True
    ),
    "--low": Number(0, 2, "or: lowest stretch allowed, with --high", share=True),
    "--high": Number(0, 2, "highest stretch allowed", share=True),
}
_BALE: Final = {
    "--diameter-m": Number(0.3, 3, "diameter of the bale, m"),
    "--length-m": Number(0.3, 3, "width of the bale, along its axis, m"),
    "--turns": Number(0.5, 20_000, "wrap turns of each roll for a bale"),
    "--shoulder-m": Number(0, 0.3, "radius of the bale's rounded shoulders, m", 0.05),
    "--film-width-mm": Number(50, 1500, "width of the film on the roll, mm"),
}
_LEAST_GROWN: Final = 0.9
_MOST_GROWN: Final = 3.0
_NUMBERS: Final = {**_MARKS, **_LIMITS, **_BALE}
_READINGS: Final = {
    "--read-mm": "distance of the marks on the bale, every reading",
    "--metres": "metres a bale off each roll, the first roll first",
    "--strip-mm": "width of the strip on the bale, every reading",
    "--step-mm": "from a strip's edge to the same edge of the next, every reading",
}


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    measured = parser.add_argument_group("what was measured, one or more of")
    for option, words in _READINGS.items():
        measured.add_argument(option, type=float, nargs="+", metavar="N", help=words)
    add_numbers(measured, _MARKS)
    add = measured.add_argument
    add("--counted", choices=("before", "after"), default="before",
        help="whether metres are counted before or after the stretch; default before")  # fmt: skip
    add("--bales", type=int, metavar="N", default=1,
        help="bales the metres are the mean of; default 1")  # fmt: skip
    add_numbers(parser.add_argument_group("what was wanted"), _LIMITS)
    bale = parser.add_argument_group("the bale and its film, for metres and strips")
    add_numbers(bale, _BALE)
    bale.add_argument(
        "--dispensers", type=int, choices=(1, 2), default=2, help="rolls on; default 2"
    )
    add = parser.add_argument_group("answer").add_argument
    add("--svg", type=Path, metavar="FILE", help="draw what was found into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Work back what was given, draw where asked, print; the exit code."""
    check_numbers(options, _NUMBERS)
    try:
        answered = _ask(options)
    except BadInput as error:
        raise as_options(error, _OPTIONS) from None
    if options.svg is not None:
        _draw(answered, options.svg)
    if options.json:
        print_json("stretch", _as_json(answered))
    else:
        print_answer(answered)
    return 0


def _ask(options: argparse.Namespace) -> Answered:
    if not any((options.read_mm, options.metres, options.strip_mm, options.step_mm)):
        need = "one of " + ", ".join(_READINGS)
        raise BadInput(Fault("--read-mm", need, "none", "Give what was measured."))
    limits = _limits(options)
    found: dict[str, Any] = {}
    if options.read_mm:
        marks = read_marks(_marks(options))
        found["marks"] = marks
        found["verdict"] = None if limits is None else judge_marks(marks, limits)
    if options.metres:
        found |= _from_metres(options)
    if options.strip_mm or options.step_mm:
        found |= _from_strips(options)
    return Answered(limits, **found)


#: field of the core -> option of the command.
_OPTIONS: Final = {
    "on_bale_m": "--read-mm",
    "metres_m": "--metres",
    "widths_m": "--strip-mm",
    "steps_m": "--step-mm",
    "limits": "--low",
    "bales": "--bales",
    "dispensers": "--metres",
}


def _limits(options: argparse.Namespace) -> Limits | None:
    if options.low is not None and options.high is not None:
        return Limits(options.low, options.high)
    if (options.low is None) != (options.high is None):
        raise BadInput(Fault("--low", "--high beside it", "one of them", "Give both or neither."))
    if options.stretch is None:
        return None
    return label_limits(options.stretch, options.give_or_take)


def _millimetres(option: str, values: list[float]) -> tuple[float, ...]:
    for value in values:
        if not (math.isfinite(value) and 1.0 <= value <= 6000.0):
            need = "readings from 1 to 6000"
            raise BadInput(Fault(option, need, f"{value:g}", "Give millimetres, as in 170."))
    return tuple(value * M_PER_MM for value in values)


def _marks(options: argparse.Namespace) -> Marks:
    low_mm, high_mm = _LEAST_GROWN * options.marks_mm, _MOST_GROWN * options.marks_mm
    for value in options.read_mm:
        if not (math.isfinite(value) and low_mm <= value <= high_mm):
            need = (
                f"readings from {low_mm:g} to {high_mm:g}, of marks {options.marks_mm:g} mm apart"
            )
            raise BadInput(Fault("--read-mm", need, f"{value:g}", "Give millimetres, as in 170."))
    return Marks(options.marks_mm * M_PER_MM, tuple(mm * M_PER_MM for mm in options.read_mm))


def _needed(options: argparse.Namespace, *names: str) -> None:
    missing = [name for name in names if vars(options)[name[2:].replace("-", "_")] is None]
    if missing:
        need = f"{' and '.join(missing)} beside what was measured"
        raise BadInput(Fault(missing[0], need, "none", "Give it too."))


def _from_metres(options: argparse.Namespace) -> dict[str, Any]:
    _needed(options, "--diameter-m", "--length-m", "--turns")
    bale = Bale(options.diameter_m, options.length_m)
    turns = (options.turns,) * len(options.metres)
    drawn = Drawn(bale, turns, tuple(options.metres), options.bales)
    doubts = Doubts(shoulder_m=options.shoulder_m)
    if options.counted == "after":
        return {"tension": tension_from_metres(drawn, doubts)}
    return {"metres": stretch_from_metres(drawn, doubts)}


def _from_strips(options: argparse.Namespace) -> dict[str, Any]:
    _needed(options, "--strip-mm")
    widths_m = _millimetres("--strip-mm", options.strip_mm)
    found: dict[str, Any] = {}
    if options.step_mm:
        _needed(options, "--diameter-m")
        steps_m = _millimetres("--step-mm", options.step_mm)
        taped = Taped(options.diameter_m, options.dispensers, widths_m, steps_m)
        found["turned"] = turning_on_bale(taped)
    if options.film_width_mm is not None:
        film_width_m = options.film_width_mm * M_PER_MM
        found["from_width"] = stretch_on_bale(widths_m, film_width_m)
        if options.stretch is not None:
            known = (options.stretch, options.give_or_take)
            found["neck_in"] = neck_in_on_bale(widths_m, film_width_m, known)
    return found


def _as_json(answered: Answered) -> dict[str, Any]:
    marks, metres, verdict = answered.marks, answered.metres, answered.verdict
    return {
        "limits": None if answered.limits is None else asdict(answered.limits),
        "marks": marks and {
            "readings": marks.readings.count,
            "mean": marks.readings.mean,
            "spread": marks.readings.spread,
            "stretch": marks.stretch_frac and asdict(marks.stretch_frac),
        },
        "verdict": verdict and {
            "shown": verdict.shown.value,
            "more_marks": verdict.more_marks,
            "settled_by_more": verdict.settled_by_more,
        },
        "metres": metres and {
            "each": [asdict(one) for one in metres.each_frac],
            "ratio": metres.ratio and asdict(metres.ratio),
            "gap": metres.gap_frac and asdict(metres.gap_frac),
            "error_shares": dict(metres.budget.shares),
        },
        "tension": answered.tension and [asdict(one) for one in answered.tension],
        "bale": answered.turned and asdict(answered.turned),
        "neck_in": answered.neck_in and asdict(answered.neck_in),
        "from_width": answered.from_width and asdict(answered.from_width),
    }  # fmt: skip


def _draw(answered: Answered, file: Path) -> None:
    rows = rows_of(answered)
    if not rows:
        cure = "Give --read-mm, --metres or --strip-mm with --film-width-mm."
        raise BadInput(Fault("--svg", "a stretch to draw", "none", cure))
    write_drawing(file, draw_stretch(rows, answered.limits, say))


def rows_of(answered: Answered) -> tuple[Found, ...]:
    """What the picture shows of an answer."""
    rows = []
    if answered.marks is not None:
        marks = answered.marks
        rows.append(
            Found(
                because("stretch.marks"), marks.readings.mean, marks.stretch_frac, marks.values_frac
            )
        )
    if answered.metres is not None:
        rows += [
            Found(because("stretch.dispenser", roll=place + 1), one.best, one)
            for place, one in enumerate(answered.metres.each_frac)
        ]
    if answered.from_width is not None:
        width = answered.from_width
        rows.append(Found(because("stretch.width"), width.best, width))
    return tuple(rows)
