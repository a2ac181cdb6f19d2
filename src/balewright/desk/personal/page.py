"""Personal data: where it lies, what is held of somebody, erasing it, who looked. For managers.

Names are posted, never part of an address: addresses lie about in histories and logs.
"""

from __future__ import annotations

from typing import Any, Final, cast

from django.contrib import messages
from django.contrib.auth import get_user_model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.personal.forms import AskForm, RuleForm, SureForm
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.erase_personal import ErasureKind, erase_personal, see_held
from balewright.flows.keep_originals import apply_retention, see_originals, set_retention
from balewright.store.personal import list_groups

SHOWN_LINES: Final = 50


@require_safe
@needs(Deed.LOOK_AFTER)
def show_personal(request: HttpRequest) -> HttpResponse:
    """The list, the rule, the question and what was done."""
    return _page(request, {})


@require_POST
@needs(Deed.LOOK_AFTER)
def set_rule(request: HttpRequest) -> HttpResponse:
    """Set how long originals are kept."""
    form = RuleForm(request.POST)
    if not form.is_valid():
        return _page(request, {"rule": form}, 422)
    set_retention(the_workplace(), form.cleaned_data["days"], request.user.get_username())
    messages.success(request, words("personal.days.set"))
    return cast(HttpResponse, redirect("personal"))


@require_POST
@needs(Deed.LOOK_AFTER)
def let_go(request: HttpRequest) -> HttpResponse:
    """Remove the originals that the rule lets go."""
    gone = apply_retention(the_workplace())
    messages.success(request, words("personal.let_go.done", count=len(gone)))
    return cast(HttpResponse, redirect("personal"))


@require_POST
@needs(Deed.LOOK_AFTER)
def ask_held(request: HttpRequest) -> HttpResponse:
    """What is held of somebody; looking is noted."""
    form = AskForm(request.POST)
    if not form.is_valid():
        return _page(request, {"ask": form}, 422)
    held = see_held(the_workplace(), form.asked, request.user.get_username())
    sure = SureForm(initial=form.cleaned_data)
    return _page(request, {"ask": form, "held": held, "sure": sure, "asked": form.asked})


@require_POST
@needs(Deed.LOOK_AFTER)
def erase(request: HttpRequest) -> HttpResponse:
    """Erase it, once somebody is sure; of an account also the sign-in, never one's own."""
    form = SureForm(request.POST)
    if not form.is_valid():
        held = None
        if "kind" in form.cleaned_data and not form.errors.get("subject"):
            held = see_held(the_workplace(), form.asked, request.user.get_username())
        return _page(request, {"held": held, "sure": form, "asked": form.asked}, 422)
    erase_personal(the_workplace(), form.asked, request.user.get_username())
    own = form.asked.subject == request.user.get_username()
    if form.asked.kind is ErasureKind.ACCOUNT and not own:
        get_user_model().objects.filter(username=form.asked.subject).delete()
    messages.success(request, words("personal.done"))
    return cast(HttpResponse, redirect("personal"))


def _page(request: HttpRequest, more: dict[str, Any], status: int = 200) -> HttpResponse:
    workplace = the_workplace()
    kept = see_originals(workplace)
    context = {
        "holdings": list_groups(),
        "kept": kept,
        "rule": RuleForm(initial={"days": kept.days}),
        "ask": AskForm(),
        "erasures": workplace.register.load_erasures()[:SHOWN_LINES],
        "accesses": workplace.register.load_accesses(SHOWN_LINES),
        **more,
    }
    return render(request, "personal.html", context, status=status)
