"""Pages for when something is not there, not allowed or broken: plain words, a way on."""

from __future__ import annotations

from typing import Any, Final
from urllib.parse import quote

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import Resolver404, resolve
from django.views.decorators.http import require_safe


def _say(request: HttpRequest, status: int) -> HttpResponse:
    return render(request, "failing.html", {"failing": str(status)}, status=status)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001
    """400: the browser sent what no form of ours sends."""
    return _say(request, 400)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001
    """403: the person's role does not include this."""
    return _say(request, 403)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001
    """404: no such page, machine or sheet."""
    return _say(request, 404)


@require_safe
def without_slash(request: HttpRequest, way: str) -> HttpResponse:
    """An address with slashes at its end leads to the page without them, query and all."""
    place = f"/{way.rstrip('/')}"
    try:
        resolve(place)
    except Resolver404 as error:
        raise Http404(place) from error
    query = request.META.get("QUERY_STRING", "")
    return HttpResponseRedirect(f"{quote(place)}?{query}" if query else quote(place))


def our_fault(_request: HttpRequest) -> HttpResponse:
    """500: rendered without the request, because what broke may break it again."""
    return HttpResponse(render_to_string("failing.html", {"failing": "500"}), status=500)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:  # noqa: ARG001
    """403 for a form whose token is stale or missing (Django names the argument)."""
    return render(request, "failing.html", {"failing": "stale"}, status=403)


STATUSES: Final[tuple[Any, ...]] = ("400", "403", "404", "500", "stale")
