"""What needs attention, most urgent first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.finding.shown import certain_said
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.read_today import Attention, read_today
from balewright.flows.today_beside import read_beside_today

_GONE: Final = 20
"""Matters no longer seen that are listed; more stand on the machines' pages."""


@dataclass(frozen=True)
class ItemShown:
    """One thing to look at; sure: how sure it is, money: what it costs a day, "" where not said."""

    item: Attention
    sure: str
    money: str


@require_safe
@needs(Deed.SEE)
def show_today(request: HttpRequest) -> HttpResponse:
    """One plain sentence each, linked to its finding, or to the work due on its machine."""
    workplace = the_workplace()
    today, beside = read_today(workplace), read_beside_today(workplace)
    silent = [item for item in today.items if item.key in beside.silent]
    items = [item for item in today.items if item.key not in beside.silent]
    rows, pages = page_of(request, items)
    told = {item.key for item in today.items}
    context = {
        "groups": _groups(rows),
        "silent": [_shown(item) for item in silent],
        "closed": [pair for pair in beside.closed if pair[1].key not in told][:_GONE],
        "beside": beside,
        "pages": pages,
        "count": len(today.items),
        "machines": today.machines,
        "fleet": today.fleet,
        "waiting": today.waiting,
    }
    return render(request, "today.html", context)


def _groups(items: Sequence[Attention]) -> list[tuple[str, list[ItemShown]]]:
    """By weight, in the order given."""
    return [
        (weight, [_shown(item) for item in some])
        for weight, some in groupby(items, key=lambda item: item.weight.value)
    ]


def _shown(item: Attention) -> ItemShown:
    sure_frac, money = item.certain_frac, item.money_day
    return ItemShown(
        item,
        "" if sure_frac is None else words("today.sure", certain_said=certain_said(sure_frac)),
        "" if money is None else words("today.a_day", money_day=f"{money:.0f}"),
    )
