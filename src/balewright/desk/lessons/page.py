"""Lessons: before and after, the cases behind each, accepting and taking back. For managers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from balewright.cause.learn.lesson import LinkChange, RateChange
from balewright.cause.network import Network
from balewright.desk.access import Deed, needs
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.lessons import LessonReview, accept_lesson, review_lessons, take_back_lesson
from balewright.flows.network_in_force import LESSONS, network_in_force
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.quantities.interval import Interval

MOST: Final = 40
"""Changes that are listed; the largest come first."""


@dataclass(frozen=True)
class ChangeShown:
    """One number that would move. worth: what it stood for before."""

    cause: str
    name: str
    on: str
    before: str
    after: str
    worth: str
    cases: tuple[str, ...]


@require_safe
@needs(Deed.SEE)
def show_lessons(request: HttpRequest) -> HttpResponse:
    """What the cases of one profile's machines teach."""
    workplace = the_workplace()
    profiles = list(workplace.profiles)
    used = [one.profile_key for one in workplace.register.load_machines()]
    profile = request.GET.get("profile", "")
    if profile not in profiles:
        profile = next((one for one in profiles if one in used), profiles[0])
    review = review_lessons(workplace, profile)
    network, rule = (
        network_in_force(workplace, None),
        workplace.register.load_rule(LESSONS + profile),
    )
    context = {
        "last_by": None if rule is None else rule.set_by,
        "profile": profile,
        "profiles": [(key, workplace.profiles[key].title, key == profile) for key in profiles],
        "review": review,
        "rates": [_rate(network, one) for one in review.rates[:MOST]],
        "links": [_link(network, one) for one in review.links[:MOST]],
        "left_out": _left_out(review, network),
        "kept": [(one, len(one.lesson.cases)) for one in reversed(review.kept)],
        "run_bales": round(review.run_bales),
    }
    return render(request, "lessons.html", context)


@require_POST
@needs(Deed.LOOK_AFTER)
def accept(request: HttpRequest) -> HttpResponse:
    """Let what was shown count from now on."""
    return _moved(request, accept_lesson, "lessons.accepted")


@require_POST
@needs(Deed.LOOK_AFTER)
def take_back(request: HttpRequest) -> HttpResponse:
    """Let a lesson count no longer."""
    return _moved(request, take_back_lesson, "lessons.taken_back")


def _moved(
    request: HttpRequest, move: Callable[[Workplace, str, str, str], object], said: str
) -> HttpResponse:
    """Do it to the lesson that was sent, and say so."""
    profile, lesson = (request.POST.get(name, "") for name in ("profile", "lesson"))
    try:
        move(the_workplace(), profile, lesson, request.user.get_username())
    except BadInput as error:
        return _refused(request, error, profile)
    messages.success(request, words(said))
    return _back(profile)


def _refused(request: HttpRequest, error: BadInput, profile: str) -> HttpResponse:
    for fault in error.faults:
        messages.error(request, words("cases.fault", need=fault.need, cure=fault.cure),
                       extra_tags="harm")  # fmt: skip
    return _back(profile)


def _back(profile: str) -> HttpResponse:
    return cast(HttpResponse, redirect(f"{reverse('lessons')}?profile={profile}"))


def _rate(network: Network, one: RateChange) -> ChangeShown:
    worth = words("lessons.worth.bales", bales=round(one.strength_bales))
    name = network.cause(one.cause).name.in_language("en")
    before, after = _range(one.before_per_1000), _range(one.after_per_1000)
    return ChangeShown(one.cause, name, "", before, after, worth, one.cases)


def _link(network: Network, one: LinkChange) -> ChangeShown:
    worth = words("lessons.worth.cases", count=round(one.strength_n), seen=one.seen)
    name = network.cause(one.cause).name.in_language("en")
    on = network.observation(one.on).words.in_language("en")
    before, after = _share(one.before_frac), _share(one.after_frac)
    return ChangeShown(one.cause, name, on, before, after, worth, one.cases)


def _range(one: Interval) -> str:
    best, low, high = (f"{value:.2g}" for value in (one.best, one.low, one.high))
    return words("lessons.range", best_said=best, low_said=low, high_said=high)


def _share(one: Interval) -> str:
    best, low, high = (f"{100.0 * value:.0f}" for value in (one.best, one.low, one.high))
    return words("lessons.range.share", best_said=best, low_said=low, high_said=high)


def _left_out(review: LessonReview, network: Network) -> list[tuple[str, str]]:
    found = []
    for one in review.left_out.left_out:
        known = network.cause_by_key.get(one.cause)
        name = words("lessons.own_words") if known is None else known.name.in_language("en")
        if one.unproven:
            said = words("lessons.left_out.line", unproven=one.unproven, cases=one.cases,
                         left_out_frac=one.left_out_frac)  # fmt: skip
            found.append((name, said))
    return found
