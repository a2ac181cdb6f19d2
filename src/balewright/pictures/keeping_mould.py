"""Mould by source: layers against months, each source's trials carried over by oxygen dose."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from balewright.pictures.plot import picture, words
from balewright.pictures.svg import element, text
from balewright.plan.keeping.answer import KeepingAnswer
from balewright.plan.keeping.climate import Stay
from balewright.plan.keeping.mould import MouldRisk, judge_mould
from balewright.plan.keeping.trials import Mould
from balewright.quantities.reason import Reason, ReasonValue, because

Say = Callable[[Reason], str]

_LAYERS: Final = (8, 6, 4, 2)
_MONTHS: Final = 24
_LEFT: Final = 52.0
_CELL: Final = 12.5
_ROW: Final = 15.0
_TOP: Final = 42.0
_SOURCE: Final = 22.0 + len(_LAYERS) * _ROW
#: The same orange and blue as film, so that they stay apart for every common colour blindness.
FILLS: Final = {
    Mould.CLEAN: ("#6d9fd6", "1"),
    Mould.SOME: ("#f6b45c", "1"),
    Mould.MOULDY: ("#b3560d", "1"),
    None: ("#808891", "0.22"),
}


def draw_mould(answer: KeepingAnswer, say: Say) -> str:
    """A field of layers and months for each source, the bale asked for framed in it, as SVG.

    say: a reason (`keeping.*`) to a sentence. Stands alone or inside a page, light or dark.
    """

    def said(key: str, **values: ReasonValue) -> str:
        return say(because(f"keeping.{key}", **values))

    plane = _plane(answer)
    verdicts = answer.kept.mould.verdicts
    parts = [
        words(4, 14, said("mould.heading", climate=_name(answer)), size=13, weight="600"),
        words(4, 32, said("mould.layers")),
    ]
    for place, verdict in enumerate(verdicts):
        name = said(f"trial.{verdict.source}")
        parts.append(_field(answer, plane, place, _TOP + place * _SOURCE, name))
    bottom = _TOP + len(verdicts) * _SOURCE
    parts += [
        words(_LEFT + (month - 0.5) * _CELL, bottom + 12.0, f"{month}", anchor="middle")
        for month in (1, 6, 12, 18, 24)
    ]
    parts.append(
        words(_LEFT + _MONTHS * _CELL / 2.0, bottom + 27.0, said("mould.axis"), anchor="middle")
    )
    parts.append(_legend(bottom + 50.0, said))
    heard = "; ".join(
        f"{said(f'trial.{one.source}')}: {said(f'seen.{_seen(one.seen)}')}" for one in verdicts
    )
    told = said(
        "mould.told",
        climate=_name(answer),
        layers=answer.kept.layers,
        stay_months=answer.stored.stay.months,
        said=heard,
    )
    return picture(bottom + 118.0, said("mould.title"), told, *parts)


def _seen(seen: Mould | None) -> str:
    return "unknown" if seen is None else seen.value


def _name(answer: KeepingAnswer) -> str:
    return answer.stored.stay.climate.name


def _plane(answer: KeepingAnswer) -> dict[tuple[int, int], MouldRisk]:
    stay, cover = answer.stored.stay, answer.stored.cover
    return {
        (layers, month): judge_mould(
            cover, layers, Stay(stay.climate, stay.start_month, float(month))
        )
        for layers in _LAYERS
        for month in range(1, _MONTHS + 1)
    }


def _field(
    answer: KeepingAnswer,
    plane: dict[tuple[int, int], MouldRisk],
    place: int,
    top: float,
    name: str,
) -> str:
    parts = [words(_LEFT, top + 11.0, name, weight="600")]
    for row, layers in enumerate(_LAYERS):
        y = top + 18.0 + row * _ROW
        parts.append(words(_LEFT - 6.0, y + 11.0, f"{layers}", anchor="end"))
        start = 1
        for month in range(1, _MONTHS + 1):
            seen = plane[layers, month].verdicts[place].seen
            last = month == _MONTHS
            if last or plane[layers, month + 1].verdicts[place].seen is not seen:
                parts.append(_run(seen, (start, month), y))
                start = month + 1
    asked, layers = round(answer.stored.stay.months), answer.kept.layers
    if layers in _LAYERS and 1 <= asked <= _MONTHS:
        y = top + 18.0 + _LAYERS.index(layers) * _ROW
        parts.append(_frame(_LEFT + (asked - 1) * _CELL, y))
    return "".join(parts)


def _run(seen: Mould | None, months: tuple[int, int], y: float) -> str:
    fill, opacity = FILLS[seen]
    return element(
        "rect",
        {"x": _LEFT + (months[0] - 1) * _CELL, "y": y,
         "width": (months[1] - months[0] + 1) * _CELL, "height": _ROW - 1.5,
         "fill": fill, "fill-opacity": opacity, "shape-rendering": "crispEdges"},
        element("title", {}, text(f"{months[0]}-{months[1]}: {seen.value if seen else '?'}")),
    )  # fmt: skip


def _frame(x: float, y: float) -> str:
    return element(
        "rect",
        {"x": x - 1.0, "y": y - 1.5, "width": _CELL + 2.0, "height": _ROW + 1.5, "fill": "none",
         "stroke": "currentColor", "stroke-width": "2.5"},
    )  # fmt: skip


def _legend(y: float, said: Callable[..., str]) -> str:
    parts = []
    for place, (seen, (fill, opacity)) in enumerate(FILLS.items()):
        line = y + 16.0 * place
        look = {"x": 4.0, "y": line - 9.0, "width": 18.0, "height": 11.0}
        parts.append(element("rect", {**look, "fill": fill, "fill-opacity": opacity}))
        parts.append(words(28, line, said(f"seen.{_seen(seen)}")))
    parts.append(_frame(230.0, y - 9.0))
    parts.append(words(252.0, y, said("mould.asked")))
    return "".join(parts)
