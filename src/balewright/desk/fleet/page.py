"""The fleet side by side: machines of a profile on a measure, batches of film and net, and people
only where a manager said for what.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.finding.chart import sign_of, title_of
from balewright.desk.fleet.forms import PurposeForm
from balewright.desk.paging import page_of
from balewright.desk.reading import reading, say_here
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.rolls_compared import RATE_FRAC, RollCompared
from balewright.flows.compare_fleet import MachineCompared, compare_fleet
from balewright.flows.compare_people import (
    allow_people,
    compare_people,
    forbid_people,
    people_rule,
)
from balewright.flows.kept_batches import load_batches
from balewright.pictures.fleet_chart import Beside, draw_fleet
from balewright.quantities.interval import Interval
from balewright.quantities.reason import because
from balewright.words.reader import reader_of
from balewright.words.say import catalogue, say_value
from balewright.words.units import unit_of


@dataclass(frozen=True)
class RateShown:
    """A batch or a driver in words. is_told: whether it is worse than the rest beyond chance."""

    name: str
    bales: int
    events: int
    expected: str
    times: str
    is_told: bool


@require_safe
@needs(Deed.SEE)
def show_fleet(request: HttpRequest) -> HttpResponse:
    """Machines of one profile on one measure."""
    workplace = the_workplace()
    told = compare_fleet(workplace, request.GET.get("profile", ""), request.GET.get("measure", ""))
    rows, pages = page_of(request, told.machines)
    named = sorted(((key, title_of(key).capitalize()) for key in told.measures),
                   key=lambda one: one[1])  # fmt: skip
    context = {
        "told": told,
        "title": "" if told.measure is None else title_of(told.measure.key).capitalize(),
        "profiles": [
            (key, f"{workplace.profiles[key].title} ({count})") for key, count in told.profiles
        ],
        "measures": named,
        "machines": [(one, _level(told.measure, one.level)) for one in rows],
        "middle": None if told.middle is None or told.measure is None
        else _value(told.measure, told.middle),
        "picture": _picture(told.measure, rows, told.middle),
        "adjusted": "" if told.measure is None else _adjusted(told.measure),
        "apart": sum(one.is_apart for one in told.machines),
        "pages": pages,
    }  # fmt: skip
    return render(request, "fleet.html", context)


@require_safe
@needs(Deed.SEE)
def show_batches(request: HttpRequest) -> HttpResponse:
    """Batches of film and net, each machine against itself, as the last daily review found."""
    kept = load_batches(the_workplace())
    rows, pages = page_of(request, () if kept is None else kept.compared)
    context = {"rows": [_rate(one) for one in rows], "pages": pages, "kept": kept}
    return render(request, "fleet_rolls.html", context)


@require_safe
@needs(Deed.LOOK_AFTER)
def show_people(request: HttpRequest) -> HttpResponse:
    """Drivers, where a manager said for what; else how to switch it on."""
    return _people(request, PurposeForm())


@require_POST
@needs(Deed.LOOK_AFTER)
def allow(request: HttpRequest) -> HttpResponse:
    """Switch comparing people on, for a purpose."""
    form = PurposeForm(request.POST)
    if not form.is_valid():
        return _people(request, form, 422)
    allow_people(the_workplace(), form.cleaned_data["purpose"], request.user.get_username())
    messages.success(request, words("fleet.people.on"))
    return cast(HttpResponse, redirect("fleet.people"))


@require_POST
@needs(Deed.LOOK_AFTER)
def forbid(request: HttpRequest) -> HttpResponse:
    """Switch it off."""
    forbid_people(the_workplace(), request.user.get_username())
    messages.success(request, words("fleet.people.off"))
    return cast(HttpResponse, redirect("fleet.people"))


def _people(request: HttpRequest, form: PurposeForm, status: int = 200) -> HttpResponse:
    workplace = the_workplace()
    rule = people_rule(workplace)
    compared = compare_people(workplace, request.user.get_username()) if rule else None
    tables = [
        (words(f"fleet.people.{name}"), [_rate(one) for one in sorted(told, key=_by_name)])
        for name, told in (compared or {}).items()
    ]
    context = {"rule": rule, "tables": tables, "form": form}
    return render(request, "fleet_people.html", context, status=status)


def _by_name(one: RollCompared) -> str:
    return one.name


def _rate(one: RollCompared) -> RateShown:
    times = one.times
    said = words("fleet.times.only") if times is None and one.breaks else "–"
    if times is not None:
        ends = {"best": times.best, "low": times.low, "high": times.high}
        said = words("fleet.times", **{key: f"{value:.1f}" for key, value in ends.items()})
    return RateShown(
        one.name, one.bales, one.breaks, f"{one.expected:.1f}", said, one.told_frac <= RATE_FRAC
    )


def _picture(
    measure: Measure | None, machines: Sequence[MachineCompared], middle: float | None
) -> SafeString | str:
    if measure is None or not machines:
        return ""
    printed = _printed(measure)
    beside = [
        Beside(one.name, Interval(*(printed(end) for end in (one.level.low, one.level.best,
               one.level.high))), one.is_apart)
        for one in machines
    ]  # fmt: skip
    sign = words("fleet.hundred") if measure.family is Family.RATE else sign_of(measure.key)
    at = None if middle is None else printed(middle)
    # every word in it is escaped where it is drawn
    return mark_safe(draw_fleet(beside, at, sign, say_here))  # noqa: S308


def _printed(measure: Measure) -> Any:
    unit = unit_of(measure.key, reader_of(reading()).units)
    if unit is None or measure.family is Family.RATE:
        return lambda value: value
    return unit.printed


def _level(measure: Measure | None, level: Interval) -> str:
    assert measure is not None
    low, best, high = (_value(measure, end) for end in (level.low, level.best, level.high))
    return words("finding.range", best_said=best, low_said=low, high_said=high)


def _value(measure: Measure, value: float) -> str:
    if measure.family is Family.RATE:
        return f"{value:.2g}" if value < 10 else f"{value:.0f}"
    return say_value(measure.key, value, reading())


def _adjusted(measure: Measure) -> str:
    known = catalogue(reading())
    said = [known.get(f"explains.{key}", key) for key in measure.explained_by]
    group = say_here(because(f"watched.group.{measure.group.value}"))
    return ", ".join([*said, words("finding.adjusted.group", group_said=group)])
