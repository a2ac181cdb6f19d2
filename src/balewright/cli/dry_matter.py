"""`balewright dry-matter`: the microwave step by step, several samples, or a probe's reading."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json
from balewright.cli.drawing import write_drawing
from balewright.cli.given import (
    ends,
    number,
    pair,
    print_lines,
    share,
)
from balewright.cli.ranges import Number, add_numbers, as_options, faults_of
from balewright.plan.keeping.dry_matter import Samples, samples_needed, summarise, with_volatiles
from balewright.plan.keeping.microwave import (
    CAUTION_FIRE,
    CAUTION_WATER,
    STOP_RULES,
    Drying,
    NextStep,
    Weighing,
    follow_drying,
)
from balewright.plan.keeping.probe import Calibration, ProbePair, calibrate_probe
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.interval import Interval
from balewright.quantities.reason import Reason, ReasonValue, because
from balewright.quantities.sources import source
from balewright.words.say import say

_WEIGHING: Final = "4:49, minutes heated so far and grams"
_PAIR: Final = "17%:18.4%, probe and oven"
_NUMBERS: Final = {
    "--scale-g": Number(
        0.001, 10, "step of the scale, grams", 1, cure="Give the scale's step, as in 1 or 0.1."
    ),
    "--within": Number(
        0.01,
        50,
        "how close the mean shall be known, points",
        cure="Give points of dry matter, as in 1.",
    ),
    "--confidence": Number(
        0.5,
        0.999,
        "of the mean and of the probe",
        0.95,
        cure="Give a fraction: 0.95 for 95 per cent.",
        share=True,
    ),
}
#: field of the model -> option
_OPTIONS: Final = {
    "mass_g": "--weighing",
    "minutes": "--weighing",
    "weighings": "--weighing",
    "pairs": "--pair",
    "points": "--pair",
}


@dataclass(frozen=True)
class _Found:
    """What was asked for; the rest is None. reading_frac: of the probe."""

    drying: Drying | None = None
    samples: Samples | None = None
    needed: int | None = None
    calibration: Calibration | None = None
    reading_frac: float | None = None
    moisture_frac: Interval | None = None
    volatiles_frac: Interval | None = None


def fill_parser(parser: argparse.ArgumentParser) -> None:
    """The options of this command."""
    add = parser.add_argument
    shown = {"action": "append", "default": []}
    add("--weighing", metavar="MINUTES:GRAMS", help="wet sample first, as in 0:100", **shown)  # type: ignore[arg-type]
    add("--charred", action="store_true", help="the last weighing had begun to char")
    add("--rule", choices=sorted(STOP_RULES), default="one-gram", help="default one-gram")
    add_numbers(parser, _NUMBERS)
    add("--sample", metavar="SHARE", help="dry matter of one of several samples: 31%%", **shown)  # type: ignore[arg-type]
    add("--pair", metavar="PROBE:OVEN", help="moisture of one bale both ways: 17%%:18.4%%", **shown)  # type: ignore[arg-type]
    add("--probe", metavar="SHARE", help="a probe's reading to translate: 19%%")
    add("--silage", action="store_true", help="fermented: say what the oven may have missed")
    add("--svg", type=Path, metavar="FILE", help="draw the weighings into FILE")
    add("--json", action="store_true", help="one JSON object with a version in it")
    parser.set_defaults(answer=answer)


def answer(options: argparse.Namespace) -> int:
    """Answer what was asked, as sentences or JSON, and draw where asked; the exit code."""
    _check(options)
    try:
        found = _ask(options)
    except BadInput as error:
        raise as_options(error, _OPTIONS) from None
    if options.svg is not None and found.drying is not None:
        from balewright.pictures.drying_chart import draw_drying_chart

        write_drawing(options.svg, draw_drying_chart(_weighings(options), found.drying, say))
    if options.json:
        print_json("dry-matter", _as_json(found))
        return 0
    if found.drying is not None:
        print_lines([say(Reason(CAUTION_FIRE)), say(Reason(CAUTION_WATER)), ""])
    print_lines([*_drying(found), *_samples(found, options.within), *_probe(found, options.pair)])
    if found.volatiles_frac is not None:
        ends_said = {"low_said": found.volatiles_frac.low, "high_said": found.volatiles_frac.high}
        print(_said("volatiles", **{name: _percent(end) for name, end in ends_said.items()}))
    return 0


def _check(options: argparse.Namespace) -> None:
    faults = faults_of(options, _NUMBERS)
    if not options.weighing and not options.sample and not options.pair:
        need = "one of --weighing, --sample, --pair"
        faults.append(Fault("dry-matter", need, "none of them", "Begin with --weighing 0:100."))
    if options.within is not None and len(options.sample) < 2:
        need = "two --sample or more beside it"
        faults.append(Fault("--within", need, f"{len(options.sample)}", "Add samples."))
    if options.probe is not None and not options.pair:
        faults.append(Fault("--probe", "--pair beside it", "none", "Add five pairs or more."))
    if options.svg is not None and not options.weighing:
        faults.append(Fault("--svg", "--weighing beside it", "none", "Only weighings are drawn."))
    if faults:
        raise BadInput(*faults)


def _ask(options: argparse.Namespace) -> _Found:
    drying = samples = needed = calibration = moisture = reading = volatiles = None
    if options.weighing:
        drying = follow_drying(_weighings(options), STOP_RULES[options.rule], options.scale_g)
        if options.silage and drying.dry_matter_frac is not None:
            volatiles = with_volatiles(drying.dry_matter_frac.best)
    if options.sample:
        parts = [share("--sample", given) for given in options.sample]
        samples = summarise(parts, options.confidence)
        if options.silage and volatiles is None:
            volatiles = with_volatiles(samples.mean_frac)
        if options.within is not None and samples.deviation_frac is not None:
            spread, within = samples.deviation_frac, options.within / 100.0
            needed = samples_needed(spread, samples.count, within, options.confidence)
    if options.pair:
        calibration = calibrate_probe([_pair(given) for given in options.pair])
        if options.probe is not None:
            reading = share("--probe", options.probe)
            moisture = calibration.moisture_frac(reading, options.confidence)
    return _Found(drying, samples, needed, calibration, reading, moisture, volatiles)


def _weighings(options: argparse.Namespace) -> tuple[Weighing, ...]:
    found = []
    for place, given in enumerate(options.weighing):
        minutes, grams = pair("--weighing", given, _WEIGHING)
        charred = options.charred and place == len(options.weighing) - 1
        found.append(
            Weighing(
                number("--weighing", minutes, _WEIGHING),
                number("--weighing", grams, _WEIGHING),
                charred,
            )
        )
    return tuple(found)


def _pair(given: str) -> ProbePair:
    probe, oven = pair("--pair", given, _PAIR)
    return ProbePair(share("--pair", probe), share("--pair", oven))


def _as_json(found: _Found) -> dict[str, Any]:
    drying, samples, calibration = found.drying, found.samples, found.calibration
    return {
        "step": None if drying is None else drying.step.value,
        "heat_minutes": None if drying is None else drying.heat_minutes,
        "last_loss_g": None if drying is None else drying.last_loss_g,
        "at_most_fraction": None if drying is None else drying.at_most_frac,
        "dry_matter_fraction": None if drying is None else ends(drying.dry_matter_frac),
        "samples": None if samples is None else samples.count,
        "mean_fraction": None if samples is None else samples.mean_frac,
        "deviation_fraction": None if samples is None else samples.deviation_frac,
        "mean_within_fraction": None if samples is None else ends(samples.dry_matter_frac),
        "samples_needed": found.needed,
        "probe_slope": None if calibration is None else calibration.line.slope,
        "probe_intercept": None if calibration is None else calibration.line.intercept,
        "probe_bias_fraction": None if calibration is None else calibration.bias_frac(),
        "moisture_fraction": ends(found.moisture_frac),
        "with_volatiles_fraction": ends(found.volatiles_frac),
    }


def _said(key: str, **values: ReasonValue) -> str:
    return say(because(f"dry_matter.{key}", **values))


def _percent(value_frac: float) -> str:
    return f"{value_frac * 100.0:.1f}"


def _ends_said(within: Interval) -> dict[str, ReasonValue]:
    low, best, high = _percent(within.low), _percent(within.best), _percent(within.high)
    return {"low_said": low, "best_said": best, "high_said": high}


def _drying(found: _Found) -> list[str]:
    drying = found.drying
    if drying is None:
        return []
    rule = _said("rule", rule_said=source(drying.source).text.removesuffix("."))
    loss = "" if drying.last_loss_g is None else f"{drying.last_loss_g:.3g}"
    if drying.step is NextStep.HEAT and drying.heat_minutes is not None:
        more = [_said("heat_loss", loss_said=loss)] if loss else []
        heat = _said("heat", heat_min=drying.heat_minutes)
        return [*more, heat, _said("at_most", most_frac=drying.at_most_frac), rule]
    if drying.dry_matter_frac is None:
        return [_said("again")]
    stop = _said("stop", loss_said=loss) if drying.step is NextStep.STOP else _said("charred")
    moist = _percent(1.0 - drying.dry_matter_frac.best)
    return [stop, _said("answer", moist_said=moist, **_ends_said(drying.dry_matter_frac)), rule]


def _samples(found: _Found, within: float | None) -> list[str]:
    samples = found.samples
    if samples is None:
        return []
    mean = samples.dry_matter_frac
    if mean is None or samples.deviation_frac is None or mean.confidence is None:
        return [_said("one", best_said=_percent(samples.mean_frac))]
    deviation, said = _percent(samples.deviation_frac), _ends_said(mean)
    values: dict[str, ReasonValue] = {"count": samples.count, "confidence_frac": mean.confidence}
    lines = [_said("mean", deviation_said=deviation, **values, **said)]
    if found.needed is not None and within is not None:
        lines.append(_said("needed", within_said=f"{within:g}", needed=found.needed))
    return lines


def _probe(found: _Found, pairs: list[str]) -> list[str]:
    calibration, reading = found.calibration, found.reading_frac
    if calibration is None:
        return []
    bias = calibration.bias_frac()
    side = _said("above") if bias >= 0.0 else _said("below")
    lines = [_said("probe_bias", pairs=len(pairs), bias_said=_percent(abs(bias)), side=side)]
    if reading is None:
        return lines
    shown, moisture = _percent(reading), found.moisture_frac
    if moisture is None or moisture.confidence is None:
        span = {"from_said": calibration.from_frac, "to_said": calibration.to_frac}
        spanned = {name: _percent(end) for name, end in span.items()}
        return [*lines, _said("probe_outside", reading_said=shown, **spanned)]
    said = _ends_said(moisture)
    sure = moisture.confidence
    return [*lines, _said("probe", reading_said=shown, confidence_frac=sure, **said)]
