"""A case on a phone, for whoever has its link: what to look at next, and what was seen.

Like every page behind a link it knows nobody: no session, no cookie. It goes on without a signal:
the worker keeps the page with the next checks in it, and what is entered waits in the phone's own
storage. By plain http, where browsers keep nothing, the page is saved as one file.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST, require_safe

from balewright.desk.case_phone.packs import pack_for
from balewright.desk.reading import reading
from balewright.desk.shared.limits import ENTRIES, is_too_often
from balewright.desk.shared.open_page import frame, open_to_all, plain
from balewright.desk.shared.page import KEEPS
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.share_case import OpenedCase, open_shared_case
from balewright.flows.share_sheet import hash_token
from balewright.flows.take_in_case_entries import Handed, take_in_case_entries
from balewright.quantities.errors import BadInput
from balewright.store.case_entries import CaseLinkKind, Way
from balewright.words.english import messages

_STATIC: Final = Path(__file__).parents[1] / "static" / "desk"
_SCRIPTS: Final = ("sha256.js", "case_outbox.js", "case.js")
_STYLES: Final = ("desk.css",)
_WORDS: Final = "desk.case_phone."


@require_safe
@open_to_all
def show_case(request: HttpRequest, token: str) -> HttpResponse:
    """The page with its pack. Fetching changes nothing but the number of openings."""
    is_counted = request.method == "GET" and KEEPS not in request.headers
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.GUIDE, is_counted)
    if opened is None:
        return _over()
    answer = HttpResponse(_page(token, opened, {}))
    answer.headers["X-Valid-Until"] = opened.link.valid_until.isoformat()
    return answer


@require_safe
@open_to_all
def send_pack(request: HttpRequest, token: str) -> HttpResponse:  # noqa: ARG001
    """The next checks from what is known by now."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.GUIDE, counted=False)
    if opened is None:
        return _over()
    return JsonResponse(pack_for(opened.link.case, reading()))


@require_safe
@open_to_all
def send_page(request: HttpRequest, token: str) -> HttpResponse:  # noqa: ARG001
    """The same page as one file that needs nothing else."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.GUIDE, counted=False)
    if opened is None:
        return _over()
    inside = {
        "styles": "\n".join(_read(name) for name in _STYLES),
        "scripts": [_read(name).replace("</", "<\\/") for name in _SCRIPTS],
    }
    answer = HttpResponse(_page(token, opened, {"inside": inside}))
    name = f"case-{opened.link.case}.html"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@csrf_exempt  # the address itself is the secret, and no cookie is looked at
@require_POST
@open_to_all
def take_entries(request: HttpRequest, token: str) -> HttpResponse:
    """Entries and photos as JSON lines; sent twice they are one. What is refused is said by id."""
    opened = open_shared_case(the_workplace(), token, CaseLinkKind.GUIDE, counted=False)
    if opened is None:
        return _over()
    if is_too_often(ENTRIES, hash_token(token)):
        return plain("too_often", 429)
    handed = Handed(Way.LINE, opened.link.case)
    try:
        taken = take_in_case_entries(the_workplace(), request.body, handed)
    except BadInput as error:
        faults = [f"{one.need}. {one.cure}" for one in error.faults]
        return JsonResponse({"faults": faults}, status=422)
    refused = [{"id": one.text, "why": one.reason} for one in taken.refused]
    return JsonResponse({"kept": taken.kept, "photos": taken.photos, "refused": refused})


def _page(token: str, opened: OpenedCase, more: dict[str, Any]) -> str:
    pack = pack_for(opened.link.case, reading())
    context = {
        "token": token,
        "opened": opened,
        "pack": pack,
        "said": {name: words(f"case_phone.{name}") for name in _names()},
        "known": [{**one, "key": f"case_phone.seen.{one['seen']}"} for one in pack["known"]],
        **frame(),
        **more,
    }
    return render_to_string("case_phone.html", context)


def _names() -> list[str]:
    """What the page's script says, by name."""
    return [key.removeprefix(_WORDS) for key in messages() if key.startswith(_WORDS)]


def _over() -> HttpResponse:
    """The link opens nothing; what this phone wrote can still be saved."""
    return HttpResponse(render_to_string("case_over.html", frame()), status=404)


def _read(name: str) -> str:
    return (_STATIC / name).read_text(encoding="utf-8")
