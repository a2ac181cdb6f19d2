"""How often one address may come, and how often one link may be used, in a window of time.

Counted in this process's memory alone: addresses are hashed with the desk's key, never written
down, and gone with the process.
"""

from __future__ import annotations

import hmac
import ipaddress
import time
from dataclasses import dataclass
from typing import Final

from django.conf import settings
from django.core.cache import caches
from django.http import HttpRequest

from balewright.desk.access import is_loopback

CACHE: Final = "limits"
_SITE_BITS: Final = 64
"""Of an IPv6 address: what a provider gives to one household."""


@dataclass(frozen=True)
class Limit:
    """At most so many in so many seconds. name: keeps one limit's counts from another's."""

    name: str
    most: int
    within_s: int


BY_ADDRESS: Final = Limit("address", 120, 60)
BY_LINK: Final = Limit("link", 300, 60)
ANSWERS: Final = Limit("answers", 30, 600)
ENTRIES: Final = Limit("entries", 400, 600)
"""Of a case's link: a person on a phone sends each step."""


def is_too_often(limit: Limit, who: str) -> bool:
    """Count one more for `who` and say whether that is over the limit of this window."""
    window = int(time.time() // limit.within_s)
    secret = str(settings.SECRET_KEY).encode()
    hidden = hmac.digest(secret, who.encode("utf-8", "surrogatepass"), "sha256").hex()
    key = f"{limit.name}-{window}-{hidden}"
    counts = caches[CACHE]
    counts.add(key, 0, 2 * limit.within_s)
    try:
        return bool(counts.incr(key) > limit.most)
    except ValueError:  # pushed out between the two lines: so many are counted at once
        return False


def address_of(request: HttpRequest) -> str:
    """Where a request comes from; behind a proxy of this computer what the proxy says of it."""
    address = str(request.META.get("REMOTE_ADDR", ""))
    passed_on = str(request.META.get("HTTP_X_FORWARDED_FOR", ""))
    if settings.BALEWRIGHT.https and is_loopback(address) and passed_on:
        address = passed_on.rpartition(",")[2].strip()  # what the nearest proxy itself saw
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if known.version == 6:
        return str(ipaddress.ip_network((known, _SITE_BITS), strict=False))
    return str(known)
