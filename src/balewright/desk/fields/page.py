"""The drawn fields, and adding outlines as GeoJSON."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.access import Deed, needs
from balewright.desk.fields.forms import OutlineForm
from balewright.desk.paging import page_of
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.add_outlines import add_outlines
from balewright.flows.list_fields import list_fields, remove_field
from balewright.quantities.errors import BadInput


@require_safe
@needs(Deed.SEE)
def show_fields(request: HttpRequest) -> HttpResponse:
    """Every drawn field."""
    return _page(request, OutlineForm())


@require_POST
@needs(Deed.TAKE_IN)
def add(request: HttpRequest) -> HttpResponse:
    """Add the outlines of one file, all or none."""
    form = OutlineForm(request.POST, request.FILES)
    if form.is_valid():
        file = form.cleaned_data["file"]
        field = form.cleaned_data["field"] or None
        try:
            drawn = add_outlines(the_workplace(), file.read(), file.name, field)
        except BadInput as error:
            for fault in error.faults:
                form.add_error("file", words("settings.fault", fault=str(fault)))
        else:
            said = words("fields.added", count=len(drawn.outlines))
            if drawn.turned:
                said += " " + words("fields.turned", count=drawn.turned)
            messages.success(request, said)
            return cast(HttpResponse, redirect("fields"))
    return _page(request, form, 422)


@require_POST
@needs(Deed.TAKE_IN)
def remove(request: HttpRequest, key: str) -> HttpResponse:
    """Take away an outline that somebody added."""
    try:
        remove_field(the_workplace(), key)
    except BadInput as error:
        messages.warning(request, str(error), extra_tags="note")
    else:
        messages.success(request, words("fields.removed"))
    return cast(HttpResponse, redirect("fields"))


def _page(request: HttpRequest, form: OutlineForm, status: int = 200) -> HttpResponse:
    lines, pages = page_of(request, list_fields(the_workplace()))
    context = {"lines": lines, "pages": pages, "form": form}
    return render(request, "fields.html", context, status=status)
