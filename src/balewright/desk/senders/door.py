"""The door for devices: a machine's records over HTTP, by a token of its own.

No person, no session, no cookie: whoever has the token speaks for one machine and reads nothing
but what became of its own deliveries. The form is told in docs/intake.md.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import wraps
from typing import Any, Final, cast

from django.contrib.auth.decorators import login_not_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from balewright.desk.senders.tasks import take_delivery_in
from balewright.desk.shared.limits import Limit, address_of, is_too_often
from balewright.desk.wording import words
from balewright.desk.workplace import the_workplace
from balewright.flows.senders import find_sender
from balewright.flows.take_in_delivery import (
    MOST_BYTES,
    Later,
    Verdict,
    delivery_to_json,
    keep_delivery,
    require_room,
    stage_delivery,
)
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import DeliveryEntry, SenderEntry

BY_SENDER: Final = Limit("sender", 240, 60)
STRANGERS: Final = Limit("stranger", 30, 60)
"""Requests of one sender, and wrong tokens from one address, a minute."""

FORMS: Final = {
    "text/csv": ".csv",
    "application/gzip": ".csv.gz",
    "application/zip": ".zip",
    "application/jsonl": ".jsonl",
    "application/x-ndjson": ".jsonl",
}
"""Content types that are taken, and the end of the name each gets."""

_CHUNK_BYTES: Final = 1 << 16

Page = Callable[..., HttpResponse]


class _Not(Exception):
    """What was sent cannot be taken: status, what about it, what was needed, what was given."""

    def __init__(self, status: int, place: str, need: str, given: str) -> None:
        super().__init__(place)
        self.status, self.headers = status, dict[str, str]()
        self._fault = Fault(place, need, given, words(f"door.cure.{status}"))

    @property
    def answer(self) -> HttpResponse:
        """As it is told."""
        told = {"faults": [asdict(self._fault)]}
        return JsonResponse(told, status=self.status, headers=self.headers)


def _for_senders(page: Page) -> Page:
    """A page for whoever has the token of the sender in its address."""

    @wraps(page)
    def opened(request: HttpRequest, sender: str, **kwargs: Any) -> HttpResponse:
        try:
            return page(request, _known(request, sender), **kwargs)
        except _Not as refused:
            return refused.answer
        except Later as later:
            return _later(429 if later.is_own else 503, later.why, later.wait_s)
        except BadInput as error:
            return JsonResponse({"faults": [asdict(fault) for fault in error.faults]}, status=400)

    return cast(Page, login_not_required(csrf_exempt(never_cache(opened))))


def _known(request: HttpRequest, sender: str) -> SenderEntry:
    """Whose token it is, within the limits."""
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    known = None
    if scheme.lower() == "bearer" and token.strip():
        known = find_sender(the_workplace(), sender, token.strip())
    if known is not None:
        if is_too_often(BY_SENDER, known.key):
            raise Later(words("door.too_often"), True, BY_SENDER.within_s)
        return known
    if is_too_often(STRANGERS, address_of(request)):
        raise Later(words("door.too_often"), True, STRANGERS.within_s)
    stranger = _Not(401, "Authorization", "a sender's token", "none that is good")
    stranger.headers["WWW-Authenticate"] = 'Bearer realm="balewright"'
    raise stranger


@_for_senders
def hand_over(request: HttpRequest, sender: SenderEntry) -> HttpResponse:
    """A delivery comes: received once, taken in by the worker."""
    _require_method(request, "POST")
    suffix = FORMS.get((request.content_type or "").lower())
    if suffix is None or request.headers.get("Content-Encoding"):
        given = request.headers.get("Content-Encoding") or request.content_type or "none"
        raise _Not(415, "Content-Type", ", ".join(FORMS), given)
    said = request.headers.get("Content-Length", "")
    size_bytes = int(said) if said.isascii() and said.isdigit() and len(said) < 16 else None
    if size_bytes is not None and size_bytes > MOST_BYTES:
        raise _too_large(size_bytes)
    workplace = the_workplace()
    require_room(workplace, sender, MOST_BYTES if size_bytes is None else size_bytes)
    key = request.headers.get("Idempotency-Key", "").strip().strip('"')
    staged = stage_delivery(workplace, sender, key, suffix, _chunks(request))
    if staged is None:
        raise _too_large(MOST_BYTES + 1)
    came = staged.entry.size_bytes
    if came == 0 or size_bytes not in {None, came}:
        staged.path.unlink()
        raise _Not(400, "body", f"{size_bytes or 'some'} bytes", f"{came}")
    with transaction.atomic():
        entry, verdict = keep_delivery(workplace, staged)
        if verdict is Verdict.NEW:
            take_delivery_in.enqueue(entry.id)
    if verdict is Verdict.OTHER:
        given = "another body than before under this key"
        raise _Not(422, "Idempotency-Key", "a key of its own for each batch", given)
    return _told(entry, 202)


@_for_senders
def tell_delivery(request: HttpRequest, sender: SenderEntry, delivery: int) -> HttpResponse:
    """What became of one of the sender's own deliveries."""
    _require_method(request, "GET", "HEAD")
    entry = the_workplace().register.load_delivery(delivery)
    if entry is None or entry.sender != sender.key:
        raise _Not(404, "delivery", "one of this sender's own", str(delivery))
    return _told(entry, 200)


def _require_method(request: HttpRequest, *methods: str) -> None:
    if request.method not in methods:
        refused = _Not(405, "method", methods[0], str(request.method))
        refused.headers["Allow"] = ", ".join(methods)
        raise refused


def _told(entry: DeliveryEntry, status: int) -> HttpResponse:
    address = reverse("door.delivery", args=[entry.sender, entry.id])
    answer = JsonResponse(
        {**delivery_to_json(the_workplace(), entry), "address": address}, status=status
    )
    answer.headers["Location"] = address
    return answer


def _chunks(request: HttpRequest) -> Iterator[bytes]:
    while chunk := request.read(_CHUNK_BYTES):
        yield chunk


def _too_large(size_bytes: int) -> _Not:
    return _Not(413, "body", f"at most {MOST_BYTES} bytes", str(size_bytes))


def _later(status: int, why: str, wait_s: int) -> HttpResponse:
    fault = Fault("desk", words("door.room"), why, words("door.cure.later", seconds=wait_s))
    answer = JsonResponse({"faults": [asdict(fault)]}, status=status)
    answer.headers["Retry-After"] = str(wait_s)
    return answer
