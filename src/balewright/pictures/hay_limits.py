"""How damp each source lets hay go into store, beside how damp it is, as SVG."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final

from balewright.pictures.plot import BLUE, ORANGE, WIDTH, picture, rule, words
from balewright.pictures.svg import Attributes, element
from balewright.plan.keeping.heating_storage import MoistureLimit
from balewright.quantities.reason import Reason, because
from balewright.quantities.sources import source

Say = Callable[[Reason], str]

_LEFT, _RIGHT = 8.0, 52.0
_TOP: Final = 46.0
_ROW: Final = 34.0
_BAR: Final = 9.0
_LOW_FRAC: Final = 0.08
_LEAST_SPAN_FRAC: Final = 0.14
_LONGEST_NAME: Final = 44


def draw_hay_limits(limits: Sequence[MoistureLimit], moisture_frac: float, say: Say) -> str:
    """A bar for each source, from dry up to its limit, and an upright line where the hay is.

    limits: of one kind of bale; moisture_frac: wet basis, 0..1, held at the edge of the picture;
    say: a reason (`hay.limits.*`) to a sentence. A limit with a range ends in a paler stretch. A
    bar that the hay is above is orange, and says so in the description.
    """
    most = max(limit.high_frac for limit in limits)
    end_frac = max(_LOW_FRAC + _LEAST_SPAN_FRAC, most + 0.03, min(moisture_frac + 0.02, 0.40))
    ordered = sorted(limits, key=lambda limit: (limit.low_frac, limit.high_frac))

    def across(frac: float) -> float:
        share = (min(max(frac, _LOW_FRAC), end_frac) - _LOW_FRAC) / (end_frac - _LOW_FRAC)
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    bottom = _TOP + _ROW * len(ordered)
    here = across(moisture_frac)
    now = say(because("hay.limits.now", moisture_frac=moisture_frac))
    parts = [words(4, 14, say(because("hay.limits.title")), size=13, weight="600")]
    for row, limit in enumerate(ordered):
        y = _TOP + _ROW * row
        colour = ORANGE if moisture_frac > limit.high_frac else BLUE
        ends = (across(_LOW_FRAC), across(limit.low_frac), across(limit.high_frac))
        parts.append(words(_LEFT, y + 11, _named(limit.source)))
        parts.append(_bar(ends[0], ends[2], y + 17, (colour, "0.4")))
        parts.append(_bar(ends[0], ends[1], y + 17, (colour, "1")))
        parts.append(_upright(here, y + 14, y + 29))
        parts.append(words(WIDTH - 4, y + 25, _to(limit, say), anchor="end"))
    parts.append(_upright(here, _TOP - 12, _TOP))
    anchor = "start" if here < WIDTH / 2 else "end"
    shift = 5 if anchor == "start" else -5
    parts.append(words(here + shift, _TOP - 5, now, anchor=anchor, weight="600"))
    parts.append(rule((across(_LOW_FRAC), bottom + 4), (across(end_frac), bottom + 4)))
    for percent in range(10, int(end_frac * 100.0) + 1, 5):
        x = across(percent / 100.0)
        parts.append(rule((x, bottom + 4), (x, bottom + 8)))
        parts.append(words(x, bottom + 20, f"{percent}", anchor="middle"))
    axis = say(because("hay.limits.axis"))
    parts.append(words((_LEFT + WIDTH - _RIGHT) / 2.0, bottom + 36, axis, anchor="middle"))
    told = "; ".join(f"{_named(limit.source)}: {_to(limit, say)}" for limit in ordered)
    return picture(bottom + 42, say(because("hay.limits.title")), f"{now}. {told}.", *parts)


def _named(key: str) -> str:
    """The source's own first words, as far as they name it."""
    name = re.split(r"[(,:;]", source(key).text)[0].strip()
    return name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1].rstrip() + "…"


def _to(limit: MoistureLimit, say: Say) -> str:
    if limit.low_frac == limit.high_frac:
        return say(because("hay.limits.to", high_frac=limit.high_frac))
    ends = {"low": round(limit.low_frac * 100.0), "high_frac": limit.high_frac}
    return say(because("hay.limits.between", **ends))


def _bar(start: float, end: float, y: float, look: tuple[str, str]) -> str:
    place: Attributes = {
        "x": start,
        "y": y,
        "width": max(end - start, 1.5),
        "height": _BAR,
        "rx": 2,
    }
    return element("rect", {**place, "fill": look[0], "fill-opacity": look[1]})


def _upright(x: float, top: float, bottom: float) -> str:
    look: Attributes = {"stroke": "currentColor", "stroke-width": 2}
    return element("line", {"x1": x, "x2": x, "y1": top, "y2": bottom, **look})
