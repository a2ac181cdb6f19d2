"""The answer of `balewright layers` as a short table and a few sentences."""

from __future__ import annotations

import math
from typing import Final

from balewright.cli.answer import print_table
from balewright.cli.layers_options import Asked
from balewright.cli.layers_turns import cliff_of, enough_turns, film_of_bale, metres_m, seeks_cliff
from balewright.plan.film.cliff import REACH_M, count_at
from balewright.plan.film.strip import NECK_IN_SPREAD
from balewright.quantities.reason import ReasonValue, because
from balewright.quantities.si import M_PER_MM
from balewright.words.say import SPACE, say, say_value

_STEPS_M: Final = (0.0, 0.05, 0.10, 0.15, 0.20)
_NARROW_M: Final = 0.010
"""Stretches up to this wide are called narrow: `common practice, no source` (5 mm no alarm)."""
_LITTLE_M: Final = 0.1
_TRACE_FRAC: Final = 0.0005
_NO_VALUE: Final = "-"


def print_answer(asked: Asked) -> None:
    """Print what a technician asks first, and the cliff."""
    count, wrapping, flat = asked.count, asked.wrapping, asked.count.flat
    print(headline(asked))
    advance_m = wrapping.bale_turn * math.pi * asked.bale.diameter_m
    moved = {"advance_m": advance_m} if advance_m >= _LITTLE_M else {"advance_mm": advance_m * 1e3}
    key = "turning" if advance_m >= _LITTLE_M else "turning_little"
    print(_say(key, turned=f"{wrapping.bale_turn:.3f}", **moved))
    print()
    rows = [
        [_say("row.thinnest"), f"{count.thinnest}", f"{flat.thinnest}"],
        [_say("row.mean"), f"{count.round_mean:.2f}", f"{flat.mean:.2f}"],
        [
            _say("row.short", layers=wrapping.need_layers),
            _share(count.short_frac),
            _share(flat.short_frac),
        ],
        [_say("row.sliver"), _stretch(count.sliver_m), _stretch(flat.sliver_m)],
    ]
    if wrapping.binding_layers:
        with_binding = f"{count.thinnest_with_binding}"
        rows.append([_say("row.bound"), with_binding, f"{flat.thinnest}"])
        bound = [_share(count.bound_short_frac), _share(flat.short_frac)]
        rows.append([_say("row.bound_short"), *bound])
    print_table(["", _say("column.round"), _say("column.flat")], rows)
    print()
    for sentence in [*_verdict(asked), *_turn_words(asked), *_film_words(asked)]:
        print(sentence)
    print()
    if seeks_cliff(asked):
        _print_cliff(asked)
        print()
    print(_say("straight"))


def _say(key: str, **values: ReasonValue) -> str:
    return say(because(f"film.{key}", **values))


def _share(share_frac: float) -> str:
    if share_frac == 0.0:
        return _say("none")
    return say_value("share_frac", share_frac) if share_frac >= _TRACE_FRAC else _say("trace")


def _stretch(stretch_m: float) -> str:
    return say_value("stretch_mm", stretch_m / M_PER_MM) if stretch_m > 0.0 else _NO_VALUE


def headline(asked: Asked, topic: str = "film") -> str:
    """The bale, the strip and the turns, in the words of a topic."""
    said: dict[str, ReasonValue] = {
        "diameter_m": asked.bale.diameter_m,
        "length_m": asked.bale.length_m,
        "strip_mm": asked.wrapping.strip_m / M_PER_MM,
        "turns": asked.turns,
    }
    if asked.lost_at is not None:
        return say(because(f"{topic}.asked_lost", **said, lost_turn=asked.lost_at))
    return say(because(f"{topic}.asked", **said, dispensers=len(asked.wrapping.turns)))


def _verdict(asked: Asked) -> list[str]:
    count, flat, layers = asked.count, asked.count.flat, asked.wrapping.need_layers
    if count.short_frac == 0.0:
        sentences = [_say("enough", layers=layers)]
    else:
        sentences = [
            _say(
                "short" if count.sliver_m > _NARROW_M else "short_narrow",
                short_said=_share(count.short_frac),
                layers=layers,
                sliver_mm=count.sliver_m / M_PER_MM,
                thinnest=count.thinnest,
            )
        ]
    if flat.short_frac > 0.0:
        sentences.append(
            _say(
                "flat_short",
                flat_said=_share(flat.short_frac),
                sliver_mm=flat.sliver_m / M_PER_MM,
                depth_mm=flat.depth_m / M_PER_MM,
            )
        )
    return [*sentences, _say("gathers", band_m2=flat.band_m2, rim_m2=flat.rim_m2)]


def _turn_words(asked: Asked) -> list[str]:
    turns, layers = enough_turns(asked), asked.wrapping.need_layers
    if turns is None:
        return [_say("turns_never", layers=layers)]
    if asked.lost_at is None:
        return [_say("turns", layers=layers, turns_needed=turns)]
    done = asked.turns >= turns
    return [_say("after_loss_done" if done else "after_loss", turns_needed=turns)]


def _film_words(asked: Asked) -> list[str]:
    metres, use, sentences = metres_m(asked), film_of_bale(asked), []
    if metres is not None:
        sentences.append(_say("metres", film_m=metres))
    if use is not None:
        sentences.append(_say("mass", film_g=use.g_bale))
    if use is not None and asked.lost_at is None:
        whole = math.floor(use.bales_per_set)
        sentences.append(_say("rolls", bales_one=f"{use.bales_per_roll:.1f}", bales_set=whole))
    if asked.film_width_m is not None and not asked.neck_in_given:
        sentences.append(_neck_in_words(asked))
    return sentences


def _neck_in_words(asked: Asked) -> str:
    """What the spread of the neck-in exponent does to strip and layers."""
    narrow = asked.with_neck_in(NECK_IN_SPREAD.high)
    wide = asked.with_neck_in(NECK_IN_SPREAD.low)
    widths = {
        "low_mm": narrow.flat.strip_m / M_PER_MM,
        "high_mm": wide.flat.strip_m / M_PER_MM,
    }
    if narrow.thinnest == wide.thinnest:
        return _say("neck_in_same", **widths, thinnest=wide.thinnest)
    layers = {"thinnest_low": narrow.thinnest, "thinnest_high": wide.thinnest}
    return _say("neck_in", **widths, **layers)


def _print_cliff(asked: Asked) -> None:
    bale, cliff = asked.bale, cliff_of(asked)
    if cliff is None:
        print(_say("cliff_far", diameter_m=min(3.0, bale.diameter_m + REACH_M)))
    elif cliff.diameter_m == bale.diameter_m:
        print(_say("cliff_here"))
    else:
        short_said = _share(cliff.short_frac)
        at = {"diameter_m": cliff.diameter_m, "thinnest": cliff.thinnest}
        print(_say("cliff", **at, short_said=short_said))
    print()
    columns = [_say(f"column.{name}") for name in ("diameter", "thinnest", "short", "sliver")]
    fatter = [
        count_at(bale, asked.wrapping, bale.diameter_m + step_m)
        for step_m in _STEPS_M
        if bale.diameter_m + step_m <= 3.0
    ]
    print_table(
        columns,
        [
            [
                f"{there.diameter_m:.2f}{SPACE}m",
                f"{there.thinnest}",
                _share(there.short_frac),
                _stretch(there.sliver_m),
            ]
            for there in fatter
        ],
    )
