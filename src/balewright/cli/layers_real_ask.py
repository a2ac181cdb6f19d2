"""The question that the options of a real bale make, and its count."""

from __future__ import annotations

import argparse
import math
from dataclasses import dataclass
from typing import Final

from balewright.cli.layers_options import Asked, ask
from balewright.plan.film.course import Course, course_of
from balewright.plan.film.event_text import read_events
from balewright.plan.film.events import Running, tell_story
from balewright.plan.film.laying import Laying, binding_film, slipping, spread_bands
from balewright.plan.film.real_bale import RealCount, count_real_bale
from balewright.plan.film.real_turns import PutRight, judge_real, more_turns, put_right
from balewright.plan.film.shape import Shape
from balewright.plan.film.tipped import Tipped
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.si import M_PER_MM

_MOST_FOR_MORE: Final = 200.0
"""More turns are looked for up to so many: no bale gets as many."""
#: names of the model -> options
_OPTIONS: Final = {
    "strip_m": "--strip-m",
    "off_height_m": "--off-height-m",
    "left_m": "--diameter-left-m",
    "shoulder_m": "--shoulder-m",
    "bale_turn": "--slip",
    "end_bale_turn": "--slip",
}


@dataclass(frozen=True)
class Real:
    """A real bale, checked and counted.

    asked: the plain question it started from; more_turns: from here until no stretch wider than
    `allowed_sliver_m` is short, None where turns do not help; put_right: where it is short.
    """

    asked: Asked
    shape: Shape
    laying: Laying
    course: Course
    count: RealCount
    slip_share: float
    band_turns: int
    binding_turns: float
    allowed_sliver_m: float
    more_turns: int | None
    put_right: tuple[PutRight, ...]
    tipped: Tipped


def ask_real(options: argparse.Namespace) -> Real:
    """Build shape, laying and course, then count. Raises BadInput by option."""
    asked = ask(options)
    slip_share, bands = options.slip or 0.0, int(options.band_turns or 0)
    try:
        shape = _shape(options)
        laying = _laying(options, asked, shape, bands)
        steady = _course(options, asked)
        course = slipping(steady, slip_share)
        count = count_real_bale(shape, laying, course, asked.wrapping.need_layers)
    except BadInput as error:
        raise BadInput(*map(_as_option, error.faults)) from None
    allowed_m, need = options.allow_sliver_mm * M_PER_MM, asked.wrapping.need_layers
    is_short = count.wrap.short_m2 > 0.0 and course.turns <= _MOST_FOR_MORE
    courses = (course, steady if slip_share else course)
    return Real(
        asked=asked,
        shape=shape,
        laying=laying,
        course=course,
        count=count,
        slip_share=slip_share,
        band_turns=bands,
        binding_turns=options.binding_film_turns or 0.0,
        allowed_sliver_m=allowed_m,
        more_turns=more_turns(shape, laying, course, need, allowed_m) if is_short else 0,
        put_right=put_right(shape, laying, courses, need) if is_short else (),
        tipped=judge_real(shape, laying, course, count, allowed_m),
    )


def _as_option(fault: Fault) -> Fault:
    """A fault of the model's, with its place as it was typed."""
    named = "--event" if fault.place.startswith("event") else fault.place
    return Fault(_OPTIONS.get(named, named), fault.need, fault.given, fault.cure)


def _shape(options: argparse.Namespace) -> Shape:
    middle_m, ends_m = options.diameter_m, options.diameter_ends_m
    left_m, right_m = options.diameter_left_m or ends_m, options.diameter_right_m or ends_m
    shoulder_m = options.shoulder_m or 0.0
    return Shape(left_m or middle_m, middle_m, right_m or middle_m, options.length_m, shoulder_m)


def _laying(options: argparse.Namespace, asked: Asked, shape: Shape, bands: int) -> Laying:
    strip_m = asked.wrapping.strip_m
    whole_m = 2.0 * max(shape.half_path_m(0), shape.half_path_m(1))
    wide_mm = options.binding_film_width_mm
    wide_m = whole_m if wide_mm is None else wide_mm * M_PER_MM
    return Laying(
        strip_m=strip_m,
        off_height_m=options.off_height_m or 0.0,
        tilt_rad=math.radians(options.tilt_deg or 0.0),
        skew_share=1.0 if options.skew else 0.0,
        tail_share=0.5 if options.tail_width is None else options.tail_width,
        tail_half_turns=int(options.tail_half_turns or 0),
        bands=spread_bands(shape, strip_m, bands),
        binding=binding_film(options.binding_film_turns or 0.0, wide_m),
    )


def _course(options: argparse.Namespace, asked: Asked) -> Course:
    wrapping = asked.wrapping
    if not options.event:
        return course_of(wrapping)
    rolls, later = len(wrapping.turns), wrapping.bale_turn_one_roll
    plan = Running(asked.turns, rolls, wrapping.bale_turn, later)
    events = sorted(read_events(options.event), key=lambda one: one.at_turn)
    return tell_story(plan, tuple(events)).course
