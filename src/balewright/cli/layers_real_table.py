"""The answer for a real bale: a table, a few sentences, JSON, a picture."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any, Final

from balewright.cli.answer import print_json, print_table
from balewright.cli.drawing import write_drawing
from balewright.cli.layers_real_ask import Real
from balewright.plan.film.real_count import Cover, SideCount, Spot
from balewright.plan.film.real_words import place_words
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import SPACE, say, say_value

_NONE: Final = "-"
_TRACE_FRAC: Final = 0.0005
_SMALL_M2: Final = 0.1
_M2_PER_CM2: Final = 1e-4
_NARROW_M: Final = 0.010
"""Stretches up to this wide are called narrow: `common practice, no source` (5 mm no alarm)."""


def print_real(real: Real) -> None:
    """Print what was asked, side by side counts, and where the thinnest spot is."""
    for caution in real.tipped.cautions:
        print(f"! {say(caution)}")
    if real.tipped.cautions:
        print()
    for sentence in _headline(real):
        print(sentence)
    print()
    sides = real.count.wrap.sides
    print_table(["", *(_say(f"column.{one.side.value}") for one in sides)], _rows(real))
    print()
    for sentence in _verdict(real):
        print(sentence)
    if real.put_right:
        print()
        columns = [_say("put_right")]
        columns += [_say(f"column.{name}") for name in ("thinnest", "short")]
        better = [
            [_say(f"right.{one.amiss.value}"), f"{one.thinnest}", _share(one.short_frac)]
            for one in real.put_right
        ]
        print_table(columns, better)
    verdict = say(because(f"course.verdict.{real.tipped.verdict.value}"))
    print("\n" + say(because("course.tipped", verdict_said=verdict)))
    for reason in real.tipped.reasons:
        print(f"- {say(reason)}")
    print("\n" + _say("limits"))


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"real.{key}", **values))


def _headline(real: Real) -> list[str]:
    shape, laying, asked = real.shape, real.laying, real.asked
    said = [
        _say(
            "shape", left_m=shape.left_m, middle_m=shape.middle_m, right_m=shape.right_m,
            length_m=shape.length_m, shoulder_mm=shape.shoulder_m / M_PER_MM,
        ),
        _say(
            "wrap", strip_mm=laying.strip_m / M_PER_MM, turns=asked.turns,
            dispensers=len(asked.wrapping.turns), turned_said=f"{asked.wrapping.bale_turn:.3f}",
            path_m=real.count.path_m,
        ),
    ]  # fmt: skip
    if laying.off_height_m:
        way = _say("above" if laying.off_height_m > 0.0 else "below")
        off_mm = abs(laying.off_height_m) / M_PER_MM
        said.append(_say("off_height", off_mm=off_mm, way_said=way))
    if laying.tilt_rad:
        said.append(_say("tilt", tilt_deg=math.degrees(laying.tilt_rad)))
    if laying.skew_share:
        said.append(_say("skew"))
    if real.slip_share:
        said.append(_say("slip", slip_frac=real.slip_share))
    if laying.tail_half_turns:
        half_turns = f"{laying.tail_half_turns}"
        said.append(_say("tail", tail_frac=laying.tail_share, tail_said=half_turns))
    if real.band_turns:
        said.append(_say("bands", band_said=f"{real.band_turns}"))
    if laying.binding:
        said.append(_say("binding", binding_said=f"{real.binding_turns:g}"))
    return said


def _rows(real: Real) -> list[list[str]]:
    sides, layers = real.count.wrap.sides, real.count.need_layers
    rows = [
        [_say("row.thinnest"), *(f"{one.thinnest}" for one in sides)],
        [_say("row.mean"), *(f"{one.mean:.2f}" for one in sides)],
        [_say("row.short", layers=layers), *(_share(one.short_frac) for one in sides)],
        [_say("row.area"), *(_area(one.short_m2) for one in sides)],
        [_say("row.sliver"), *(_or_none("x_mm", one.sliver_m / M_PER_MM) for one in sides)],
    ]
    if real.laying.binding:
        bound = real.count.bound.sides
        rows.append([_say("row.bound"), *(f"{one.thinnest}" for one in bound)])
        rows.append([_say("row.bound_short"), *(_share(one.short_frac) for one in bound)])
    return rows


def _or_none(name: str, value: float) -> str:
    return say_value(name, value) if value > 0.0 else _NONE


def _share(share_frac: float) -> str:
    if 0.0 < share_frac < _TRACE_FRAC:
        return say(because("film.trace"))
    return _or_none("x_frac", share_frac)


def _area(area_m2: float) -> str:
    if 0.0 < area_m2 < _SMALL_M2:
        return f"{area_m2 / _M2_PER_CM2:.0f}{SPACE}cm²"
    return _or_none("x_m2", area_m2)


def _verdict(real: Real) -> list[str]:
    count, plain = real.count, real.asked.count
    cover, layers = count.wrap, count.need_layers
    wide_mm = cover.spot.wide_m / M_PER_MM
    place = say(place_words(count.shape, cover.spot))
    said = [_say("spot", thinnest=cover.thinnest, place_said=place, wide_mm=wide_mm)]
    if cover.short_m2 > 0.0:
        said.append(_short_words(cover, layers))
        if cover.sliver_m <= _NARROW_M:
            said.append(_say("narrow", sliver_mm=cover.sliver_m / M_PER_MM))
        said.append(_more_words(real))
    else:
        said.append(_say("enough", layers=layers))
    said.append(_say("film", film_m2=count.film_m2, gathered_m2=count.gathered_m2))
    stretch = real.asked.stretch_frac
    if stretch is not None and not real.band_turns:
        ran = sum(leg.turns * sum(leg.running) for leg in real.course.legs)
        said.append(_say("metres", film_m=ran * count.path_m / (1.0 + stretch)))
    if plain.short_frac > 0.0:
        short_said = _share(plain.short_frac)
        said.append(_say("plain", thinnest=plain.thinnest, share_said=short_said))
    else:
        said.append(_say("plain_enough", thinnest=plain.thinnest))
    return said


def _more_words(real: Real) -> str:
    """The turns that make it good from here."""
    if real.more_turns is None:
        return _say("more_never")
    if real.more_turns == 0:
        return _say("more_none", sliver_mm=real.allowed_sliver_m / M_PER_MM)
    if real.allowed_sliver_m > 0.0:
        allowed_mm = real.allowed_sliver_m / M_PER_MM
        return _say("more_but", more_turns=real.more_turns, sliver_mm=allowed_mm)
    if real.more_turns == 1:
        return _say("more_one")
    return _say("more", more_turns=real.more_turns)


def _short_words(cover: Cover, layers: int) -> str:
    told: dict[str, ReasonValue] = {
        "area_said": _area(cover.short_m2),
        "whole_m2": cover.area_m2,
        "layers": layers,
        "share_said": _share(cover.short_frac),
    }
    if cover.error_m2 < _M2_PER_CM2 / 2.0:
        return _say("short_exact", **told)
    return _say("short", **told, error_said=_area(cover.error_m2))


def print_real_json(real: Real) -> None:
    """The same as one JSON object."""
    count = real.count
    print_json(
        "layers",
        {
            "layers": count.need_layers,
            **_cover_json(count.wrap),
            "with_binding": _cover_json(count.bound) if real.laying.binding else None,
            "film_m2": count.film_m2,
            "gathered_m2": count.gathered_m2,
            "film_path_m": count.path_m,
            "strip_m": real.laying.strip_m,
            "bale_turn": real.asked.wrapping.bale_turn,
            "shape": {
                "left_m": real.shape.left_m,
                "middle_m": real.shape.middle_m,
                "right_m": real.shape.right_m,
                "length_m": real.shape.length_m,
                "shoulder_m": real.shape.shoulder_m,
            },
            "more_turns": real.more_turns,
            "put_right": [
                {
                    "amiss": one.amiss.value,
                    "thinnest": one.thinnest,
                    "short_fraction": one.short_frac,
                }
                for one in real.put_right
            ],
            "tipped": {
                "verdict": real.tipped.verdict.value,
                "more_layers": real.tipped.more_layers,
                "reasons": [reason.key for reason in real.tipped.reasons],
                "cautions": [reason.key for reason in real.tipped.cautions],
            },
            "plain_cylinder": {
                "thinnest": real.asked.count.thinnest,
                "short_fraction": real.asked.count.short_frac,
            },
        },
    )


def _cover_json(cover: Cover) -> dict[str, Any]:
    return {
        "thinnest": cover.thinnest,
        "thinnest_at": _spot_json(cover.spot),
        "short_m2": cover.short_m2,
        "short_error_m2": cover.error_m2,
        "short_fraction": cover.short_frac,
        "area_m2": cover.area_m2,
        "sliver_m": cover.sliver_m,
        "sides": [_side_json(one) for one in cover.sides],
    }


def _side_json(one: SideCount) -> dict[str, Any]:
    return {
        "side": one.side.value,
        "area_m2": one.area_m2,
        "thinnest": one.thinnest,
        "thinnest_at": _spot_json(one.spot),
        "mean": one.mean,
        "short_m2": one.short_m2,
        "short_error_m2": one.error_m2,
        "short_fraction": one.short_frac,
        "sliver_m": one.sliver_m,
        "layers_m2": list(one.layers_m2),
    }


def _spot_json(spot: Spot) -> dict[str, Any]:
    return {
        "side": spot.side.value,
        "along_m": spot.along_m,
        "radius_m": spot.radius_m,
        "place_turn": spot.place_turn,
        "wide_m": spot.wide_m,
    }


def draw_real(real: Real, file: Path) -> None:
    """Draw the map of the real bale into a file."""
    from balewright.pictures.real_map import RealBale, draw_real_map

    drawn = RealBale(real.shape, real.laying, real.course, real.count)
    write_drawing(file, draw_real_map(drawn, say))
