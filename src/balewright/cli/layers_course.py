"""`balewright layers --event ...`: a bale whose wrapping did not go to plan."""

from __future__ import annotations

import argparse
import math
from dataclasses import asdict, dataclass
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.layers_options import Asked, ask
from balewright.cli.ranges import Number, add_numbers, as_options, faults_of
from balewright.plan.film.count_course import count_course
from balewright.plan.film.event_text import FORMS, read_events, write_event
from balewright.plan.film.events import Happening, Running, Story, tell_story
from balewright.plan.film.from_here import Areas, Need, WayOn, areas_short, ways_on
from balewright.plan.film.layers import LayerCount
from balewright.plan.film.strip import film_path_m
from balewright.plan.film.tipped import Tipped, judge_tipped
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import SPACE, say, say_value

_NONE: Final = "-"
_TRACE_FRAC: Final = 0.0005
_SMALL_M2: Final = 0.05
SLIVER: Final = {
    "--allow-sliver-mm": Number(
        0,
        1000,
        "with events, a chance or a real bale: a stretch no wider may stay short, mm",
        0,
        cure="Give millimetres, as in 10.",
    )
}


def add_course_options(parser: argparse.ArgumentParser) -> None:
    """The options that tell what happened."""
    told = "; ".join(FORMS)
    group = parser.add_argument_group("what went wrong")
    group.add_argument(
        "--event", action="append", metavar="WORDS", help=f"what happened, once for each: {told}"
    )
    add_numbers(group, SLIVER)


@dataclass(frozen=True)
class _Told:
    """The bale, what happened, what it left and how to go on."""

    asked: Asked
    need: Need
    plan: Running
    events: tuple[Happening, ...]
    story: Story
    count: LayerCount
    areas: Areas
    ways: tuple[WayOn, ...]
    tipped: Tipped


def answer_course(options: argparse.Namespace) -> int:
    """Count what the bale got, then print or draw it; the exit code."""
    told = _tell(options)
    if options.svg is not None:
        _draw(told, options)
    if options.json:
        print_json("layers", _as_json(told))
    else:
        _print(told)
    return 0


def _tell(options: argparse.Namespace) -> _Told:
    faults = []
    if options.lost_at is not None:
        cure = f"Say it as an event: --event 'roll 2 runs out at {options.lost_at:g}'."
        faults.append(Fault("--event", "no --lost-at beside it", "both", cure))
    faults += faults_of(options, SLIVER)
    if faults:
        raise BadInput(*faults)
    asked = ask(options)
    wrapping = asked.wrapping
    need = Need(wrapping.need_layers, wrapping.binding_layers, options.allow_sliver_mm * M_PER_MM)
    plan = Running(
        asked.turns, len(wrapping.turns), wrapping.bale_turn, wrapping.bale_turn_one_roll
    )
    try:
        events = _read(options.event)
        story = tell_story(plan, events)
    except BadInput as error:
        raise as_options(error, _event_places(error)) from None
    bale, strip_m = asked.bale, wrapping.strip_m
    count = count_course(bale, strip_m, story.course, need.layers, need.binding_layers)
    return _Told(
        asked, need, plan, events, story, count,
        areas_short(bale, count),
        ways_on(bale, strip_m, plan, story, need),
        judge_tipped(bale, count, need),
    )  # fmt: skip


def _event_places(error: BadInput) -> dict[str, str]:
    """Whatever is wrong with the story was said in an event."""
    return {fault.place: "--event" for fault in error.faults}


def _read(lines: list[str]) -> tuple[Happening, ...]:
    return tuple(sorted(read_events(lines), key=lambda one: one.at_turn))


def _as_json(told: _Told) -> dict[str, Any]:
    count, areas, tipped = told.count, told.areas, told.tipped
    return {
        "events": [write_event(event) for event in told.events],
        "turns": told.plan.turns,
        "one_roll_turns": told.story.one_roll_turns,
        "bare_turns": told.story.bare_turns,
        "thinnest": count.thinnest,
        "thinnest_with_binding": count.thinnest_with_binding,
        "round_mean": count.round_mean,
        "short_fraction": count.short_frac,
        "short_m2": areas.round_m2,
        "sliver_m": count.sliver_m,
        "thin_at_fraction": count.thin_at_frac,
        "flats": [
            {
                "thinnest": flat.thinnest,
                "short_fraction": flat.short_frac,
                "short_m2": short_m2,
                "sliver_m": flat.sliver_m,
                "depth_m": flat.depth_m,
            }
            for flat, short_m2 in zip(count.flats, areas.flats_m2, strict=True)
        ],
        "layers": told.need.layers,
        "ways_on": [{**asdict(way), "film_m": _film_m(told, way)} for way in told.ways],
        "tipped": {
            "verdict": tipped.verdict.value,
            "more_layers": tipped.more_layers,
            "reasons": [reason.key for reason in tipped.reasons],
            "cautions": [reason.key for reason in tipped.cautions],
        },
    }


def _film_m(told: _Told, way: WayOn) -> float | None:
    """Film off the rolls for one way on; None where the stretch is not given."""
    if way.turns_from_now is None or told.asked.stretch_frac is None:
        return None
    laid_m = way.turns_from_now * sum(way.running) * film_path_m(told.asked.bale)
    return laid_m / (1.0 + told.asked.stretch_frac)


def _print(told: _Told) -> None:
    from balewright.pictures.course_map import event_words

    bale = told.asked.bale
    asked = _say(
        "asked", diameter_m=bale.diameter_m, length_m=bale.length_m, turns=told.plan.turns,
        strip_mm=told.asked.wrapping.strip_m / M_PER_MM, dispensers=told.plan.dispensers,
    )  # fmt: skip
    for caution in (_say("caution"), *map(say, told.tipped.cautions)):
        print(f"! {caution}")
    print(f"\n{asked}")
    print(_say("events"))
    for event in told.events:
        print(f"- {say(event_words(event))}")
    if told.story.one_roll_turns:
        print(_say("one_roll", one_roll_turns=told.story.one_roll_turns))
    if told.story.bare_turns:
        print(_say("bare", bare_turns=told.story.bare_turns))
    print()
    print_table(["", *(_say(f"column.{side}") for side in ("round", "flat_1", "flat_2"))],
                _rows(told))  # fmt: skip
    thin_at_m = told.count.thin_at_frac * math.pi * bale.diameter_m
    print("\n" + _say("thin_at", thin_at_m=thin_at_m))
    _print_ways(told)
    print("\n" + _say("tipped", verdict_said=_say(f"verdict.{told.tipped.verdict.value}")))
    for reason in told.tipped.reasons:
        print(f"- {say(reason)}")
    print("\n" + _say("limits"))


def _rows(told: _Told) -> list[list[str]]:
    count, areas = told.count, told.areas
    shares = (count.short_frac, *(flat.short_frac for flat in count.flats))
    slivers = (count.sliver_m, *(flat.sliver_m for flat in count.flats))
    rows = [
        [_say("row.thinnest"), f"{count.thinnest}", *(f"{flat.thinnest}" for flat in count.flats)],
        [_say("row.short", layers=told.need.layers), *map(_share, shares)],
        [_say("row.area"), *map(_area, (areas.round_m2, *areas.flats_m2))],
        [_say("row.sliver"), *(_or_none("x_mm", x / M_PER_MM) for x in slivers)],
    ]
    if told.need.binding_layers:
        rows.insert(1, [_say("row.bound"), f"{count.thinnest_with_binding}", _NONE, _NONE])
    return rows


def _print_ways(told: _Told) -> None:
    if all(way.turns_from_now == 0 for way in told.ways):
        print(_say("good"))
        return
    print(_say("from_here"))
    missing = max(0, told.need.wrap_layers - told.count.thinnest)
    for way in told.ways:
        rolls = _rolls(way)
        if way.turns_from_now is None:
            print("- " + _say("way_never", rolls_said=rolls))
            continue
        facts: dict[str, ReasonValue] = {
            "rolls_said": rolls,
            "more_turns": way.turns_from_now,
            "turns_needed": way.good_at_turn or 0.0,
        }
        film_m = _film_m(told, way)
        if film_m is None:
            print("- " + _say("way", **facts))
        else:
            print("- " + _say("way_metres", film_m=film_m, **facts))
        if way.turns_anywhere is not None:
            print("  " + _say("way_anywhere", more_turns=way.turns_anywhere, more_layers=missing))


def _rolls(way: WayOn) -> str:
    if len(way.running) == 1:
        return _say("rolls.one")
    if all(way.running):
        return _say("rolls.both")
    return _say(f"rolls.{way.running.index(True) + 1}")


def _share(share_frac: float) -> str:
    if 0.0 < share_frac < _TRACE_FRAC:
        return say(because("film.trace"))
    return _or_none("x_frac", share_frac)


def _area(area_m2: float) -> str:
    return _or_none("x_m2", area_m2) if area_m2 >= _SMALL_M2 else _small(area_m2)


def _small(area_m2: float) -> str:
    return f"{max(area_m2 * 1e4, 1.0):.0f}{SPACE}cm²" if area_m2 > 0.0 else _NONE


def _or_none(name: str, value: float) -> str:
    return say_value(name, value) if value > 0.0 else _NONE


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"course.{key}", **values))


def _draw(told: _Told, options: argparse.Namespace) -> None:
    from balewright.pictures.course_map import Told, draw_course

    drawn = Told(told.asked.bale, told.events, told.story, told.count, told.need.layers)
    write_drawing(options.svg, draw_course(drawn, say))
