"""A shared sheet, for whoever has its link: read it, answer to it, nothing else.

These pages know nobody: no session, no cookie, no words of who is signed in. An unknown link, one
that is over and one that was withdrawn get the same page.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from balewright.cards.issue import Issue
from balewright.cards.sheet_page import sheet_page
from balewright.cards.sheet_pdf import sheet_pdf
from balewright.desk.feedback.answers import answer_form, answer_from
from balewright.desk.film.picture import picture_film
from balewright.desk.reading import reading
from balewright.desk.shared.limits import ANSWERS, is_too_often
from balewright.desk.shared.open_page import frame, open_to_all, plain
from balewright.desk.sheet.lines import group_lines, list_sources
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.give_feedback import give_feedback_by_link
from balewright.flows.open_shared_sheet import SharedSheet, open_shared_sheet
from balewright.flows.share_sheet import hash_token
from balewright.quantities.errors import BadInput
from balewright.words.review import english_beside

KEEPS: Final = "X-Balewright-Keep"
"""Said by our own script that fetches the page once more for when there is no signal."""
_WORKER: Final = Path(__file__).with_name("worker.js")


@require_safe
@open_to_all
def show_shared(request: HttpRequest, token: str) -> HttpResponse:
    """The sheet. Fetching changes nothing but the number of openings."""
    is_counted = request.method == "GET" and KEEPS not in request.headers
    shared = open_shared_sheet(the_workplace(), token, is_counted)
    if shared is None:
        return plain("over", 404)
    return _page(token, shared, {"sent": "sent" in request.GET})


@require_safe
@open_to_all
def send_shared_card(request: HttpRequest, token: str) -> HttpResponse:  # noqa: ARG001
    """The same sheet as a card."""
    shared = open_shared_sheet(the_workplace(), token, counted=False)
    if shared is None:
        return plain("over", 404)
    made = sheet_pdf(shared.sheet, reading(), _issue(shared))
    answer = HttpResponse(made, content_type="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="setup-sheet.pdf"'
    return answer


@require_safe
@open_to_all
def send_shared_file(request: HttpRequest, token: str) -> HttpResponse:  # noqa: ARG001
    """The same sheet as one file to save, for a browser that keeps no pages."""
    shared = open_shared_sheet(the_workplace(), token, counted=False)
    if shared is None:
        return plain("over", 404)
    answer = HttpResponse(sheet_page(shared.sheet, reading(), _issue(shared)))
    answer.headers["Content-Disposition"] = 'attachment; filename="setup-sheet.html"'
    return answer


def _issue(shared: SharedSheet) -> Issue:
    """A copy says until when it holds, as long as the link, and not which of the desk's it is."""
    return Issue(valid_until=shared.entry.valid_until.date())


@csrf_exempt  # the address itself is the secret, and no cookie is looked at
@require_POST
@open_to_all
def take_answer(request: HttpRequest, token: str) -> HttpResponse:
    """An answer to the sheet; sent twice it is one."""
    wants_json = "application/json" in request.headers.get("Accept", "")
    shared = open_shared_sheet(the_workplace(), token, counted=False)
    if shared is None:
        return plain("over", 404)
    if is_too_often(ANSWERS, hash_token(token)):
        return plain("too_often", 429)
    faults = _keep(request, token)
    if wants_json:
        return JsonResponse({"faults": faults}, status=422 if faults else 200)
    if faults:
        return _page(token, shared, {"faults": faults}, 422)
    asked = f"&{request.GET.urlencode()}" if request.GET else ""
    back = f"{reverse('shared', args=[token])}?sent{asked}#answer"
    return HttpResponseRedirect(back, status=303)


def _keep(request: HttpRequest, token: str) -> list[str]:
    """Keep the answer once; what is wrong with it. A link that ended this moment keeps nothing."""
    try:
        give_feedback_by_link(the_workplace(), token, answer_from(request.POST))
    except BadInput as error:
        return [words("feedback.fault", need=one.need, cure=one.cure) for one in error.faults]
    return []


@require_safe
@login_not_required
def send_worker(request: HttpRequest) -> HttpResponse:  # noqa: ARG001
    """The script that keeps what was opened below its own address for when there is no signal."""
    answer = HttpResponse(_WORKER.read_bytes(), content_type="text/javascript; charset=utf-8")
    answer.headers["Cache-Control"] = "no-cache"
    return answer


def _page(token: str, shared: SharedSheet, more: dict[str, Any], status: int = 200) -> HttpResponse:
    sheet, machine = shared.sheet, shared.machine
    context = {
        "token": token,
        "shared": shared,
        "sheet": sheet,
        "title": sheet.profile_title or sheet.profile_key,
        "groups": group_lines(sheet, machine),
        "sources": list_sources(sheet),
        "film": picture_film(sheet, machine) if machine else None,
        "beside": english_beside(sheet.cautions, reading()),
        **frame(),
        **answer_form(sheet),
        **more,
    }
    answer = HttpResponse(render_to_string("shared.html", context), status=status)
    answer.headers["X-Valid-Until"] = shared.entry.valid_until.isoformat()
    return answer
