"""Uploads in pieces: begin, ask how far it came, send the next piece, stop.

The form is told in docs/intake.md. A person reaches their own uploads only.
"""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import wraps
from typing import Any, Final

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from balewright.desk.access import Deed, needs
from balewright.desk.intake.queue import put_in_queue
from balewright.desk.workplace import the_workplace
from balewright.flows.take_in_pieces import (
    UploadRequest,
    WrongPlace,
    add_piece,
    arrived,
    begin_upload,
    drop_upload,
    finish_upload,
)
from balewright.flows.told_begin import read_begin
from balewright.quantities.errors import BadInput, Fault
from balewright.store.arriving import UploadEntry

PIECE_BYTES: Final = 2 << 20
"""What the page sends at once; more than four times that is refused."""

_CHUNK_BYTES: Final = 1 << 16
_OFFSET: Final = "Upload-Offset"
_DIGEST: Final = re.compile(r"sha-256=:([A-Za-z0-9+/=]+):")

Page = Callable[..., HttpResponse]


def _answering_faults(page: Page) -> Page:
    """Bad input is told as JSON, a piece in the wrong place with the right one."""

    @wraps(page)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            return page(request, *args, **kwargs)
        except WrongPlace as wrong:
            return _at(HttpResponse(status=409), wrong.offset)
        except BadInput as error:
            return JsonResponse({"faults": [asdict(fault) for fault in error.faults]}, status=422)

    return answered


@never_cache
@require_POST
@needs(Deed.TAKE_IN)
@_answering_faults
def begin(request: HttpRequest) -> HttpResponse:
    """Begin an upload, or go on with the same one."""
    given = request.POST
    size, machine = given.get("size", ""), given.get("machine") or None
    wanted = UploadRequest(
        name=given.get("name", "")[:255],
        size_bytes=int(size) if size.isascii() and size.isdigit() and len(size) < 16 else 0,
        first_sha256=given.get("first", ""),
        made_by=request.user.get_username(),
        most_bytes=settings.UPLOAD_FILE_BYTES,
        machine=machine,
        map_key=given.get("map") or None,
        begins_us=read_begin(the_workplace(), given.get("begins", ""), machine),
    )
    entry, offset = begin_upload(the_workplace(), wanted)
    answer = JsonResponse({**_told(entry, offset), "piece_bytes": PIECE_BYTES}, status=201)
    answer.headers["Location"] = reverse("intake.upload", args=[entry.key])
    return _at(answer, offset)


@never_cache
@require_http_methods(["GET", "HEAD", "PATCH", "DELETE"])
@needs(Deed.TAKE_IN)
@_answering_faults
def upload(request: HttpRequest, key: str) -> HttpResponse:
    """One upload: how far it came, its next piece, or its end."""
    entry = the_workplace().register.load_upload(key)
    if entry is None or entry.made_by != request.user.get_username():
        return HttpResponse(status=404)
    if request.method == "PATCH":
        return _take_piece(request, entry)
    if request.method == "DELETE":
        stop_upload(entry)
        return HttpResponse(status=204)
    offset = arrived(the_workplace(), entry)
    return _at(JsonResponse(_told(entry, offset)), offset)


def stop_upload(entry: UploadEntry) -> None:
    """Forget what came, or ask the work to stop where there is some."""
    if entry.ticket is None:
        drop_upload(the_workplace(), entry)
    else:
        the_workplace().register.stop_upload(entry.key)


def _take_piece(request: HttpRequest, entry: UploadEntry) -> HttpResponse:
    offset = request.headers.get(_OFFSET, "")
    if not (offset.isascii() and offset.isdigit() and len(offset) < 16):
        need = "the place of the piece in bytes"
        raise BadInput(Fault(_OFFSET, need, repr(offset), "Ask by HEAD where to go on."))
    if int(request.headers.get("Content-Length") or 0) > 4 * PIECE_BYTES:
        return HttpResponse(status=413)
    whole = request.headers.get("Upload-Complete") == "?1"
    sha256 = _digest(request) if whole else ""
    came = add_piece(the_workplace(), entry, int(offset), _chunks(request))
    if not whole:
        return _at(HttpResponse(status=204), came)
    finish_upload(the_workplace(), entry, sha256)
    ticket = put_in_queue(entry)
    answer = {"ticket": ticket, "address": reverse("intake.ticket", args=[ticket])}
    return _at(JsonResponse(answer, status=201), came)


def _chunks(request: HttpRequest) -> Iterator[bytes]:
    """The body as it comes; where the line breaks, what came before counts."""
    try:
        while chunk := request.read(_CHUNK_BYTES):
            yield chunk
    except OSError:
        return


def _digest(request: HttpRequest) -> str:
    found = _DIGEST.search(request.headers.get("Repr-Digest", ""))
    try:
        return base64.b64decode(found[1], validate=True).hex() if found else ""
    except binascii.Error:
        return ""


def _told(entry: UploadEntry, offset: int) -> dict[str, Any]:
    address = None if entry.ticket is None else reverse("intake.ticket", args=[entry.ticket])
    return {
        "key": entry.key,
        "name": entry.name,
        "size": entry.size_bytes,
        "offset": offset,
        "state": entry.state.value,
        "ticket": entry.ticket,
        "address": address,
    }


def _at(answer: HttpResponse, offset: int) -> HttpResponse:
    answer.headers[_OFFSET] = str(offset)
    return answer
