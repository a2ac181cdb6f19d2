"""A case shown to whoever has its link, a dealer for instance: to read and to print, no more."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.decorators.http import require_safe

from balewright.cards.case_data import case_data
from balewright.desk.reading import reading
from balewright.desk.shared.open_page import frame, open_to_all, plain
from balewright.desk.workplace import the_workplace
from balewright.flows.case_paper import case_paper, print_case
from balewright.flows.share_case import open_shared_case
from balewright.quantities.errors import BadInput
from balewright.store.case_entries import CaseLinkKind
from balewright.store.photos import Photos


@require_safe
@open_to_all
def show_case(request: HttpRequest, token: str) -> HttpResponse:
    """The case. Fetching changes nothing but the number of openings."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.READ, request.method == "GET")
    if opened is None:
        return plain("over", 404)
    paper = case_paper(the_workplace(), opened.kept, opened.link.claim)
    context = {
        "token": token,
        "opened": opened,
        "data": case_data(paper, reading()),
        **frame(),
    }
    return HttpResponse(render_to_string("case_read.html", context))


@require_safe
@open_to_all
def send_pdf(request: HttpRequest, token: str) -> HttpResponse:  # noqa: ARG001
    """The same case on paper."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.READ, counted=False)
    if opened is None:
        return plain("over", 404)
    case = opened.link.case
    made = print_case(the_workplace(), case, reading(), opened.link.claim)
    answer = HttpResponse(made, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="case-{case}.pdf"'
    return answer


@require_safe
@open_to_all
def send_photo(request: HttpRequest, token: str, sha256: str) -> HttpResponse:  # noqa: ARG001
    """A photo of that case, and of no other."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.READ, counted=False)
    photo = None if opened is None else opened.kept.photos.get(sha256)
    if photo is None or photo.gone_at is not None:
        return plain("over", 404)
    try:
        content = Photos(the_workplace().home / "photos").read(sha256)
    except BadInput:
        return plain("over", 404)
    return HttpResponse(content, content_type=photo.media)
