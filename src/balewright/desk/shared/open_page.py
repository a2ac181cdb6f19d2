"""What pages without an account have in common: they know nobody, keep their limits and say so."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final, cast

from csp.decorators import csp_update
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string

from balewright import __version__
from balewright.desk.reading import read_by, reader_asking, reading
from balewright.desk.shared.limits import BY_ADDRESS, BY_LINK, address_of, is_too_often
from balewright.flows.share_sheet import hash_token
from balewright.words.languages import LANGUAGES, tongue
from balewright.words.reader import Units, reader_of
from balewright.words.review import review_note

_SEALED: Final = {
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive, nosnippet",
    "Cache-Control": "no-store, private",
    "Cross-Origin-Resource-Policy": "same-origin",
}


Page = Callable[..., HttpResponse]


def open_to_all(page: Page) -> Page:
    """A page without sign-in, within the limits, that tells nobody where it is and is not found
    by search.
    """

    def sealed(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        with read_by(reader_asking(request)):
            return limited(request, *args, **kwargs)

    def limited(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        token = kwargs.get("token", "")
        if is_too_often(BY_ADDRESS, address_of(request)) or (
            token and is_too_often(BY_LINK, hash_token(token))
        ):
            answer = plain("too_often", 429)
            answer.headers["Retry-After"] = str(BY_LINK.within_s)
        else:
            answer = page(request, *args, **kwargs)
        for name, value in _SEALED.items():
            answer.headers[name] = value
        answer.headers["Content-Language"] = reader_of(reading()).language
        return answer

    marked = login_not_required(csp_update({"worker-src": ["'self'"]})(sealed))
    return cast(Page, marked)


def frame() -> dict[str, Any]:
    """What stands round each of these pages: its language, the others, the other units."""
    reader = reader_of(reading())
    return {
        "version": __version__,
        "reader": reader,
        "languages": [tongue(code) for code in LANGUAGES],
        "units": list(Units),
        "note": review_note(reading()),
        "as_read": f"?language={reader.language}&units={reader.units}",
    }


def plain(what: str, status: int) -> HttpResponse:
    """The page of what cannot be shown. what: beginning of its messages below `desk.shared.`."""
    context = {"what": what, **frame()}
    return HttpResponse(render_to_string("shared_plain.html", context), status=status)
