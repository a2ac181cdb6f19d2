"""Packs that were just made: a phone fetches the page once to show it and once to keep it."""

from __future__ import annotations

import time
from functools import lru_cache
from typing import Any, Final

from balewright.desk.workplace import the_workplace
from balewright.flows.pack_case import pack_case

_GOOD_S: Final = 60
_MOST: Final = 32


def pack_for(case: str, language: str) -> dict[str, Any]:
    """The pack of a case, made anew after any further entry, and once a minute."""
    entries = len(the_workplace().register.load_case(case))
    return _made(case, language, entries, int(time.time() // _GOOD_S))


@lru_cache(maxsize=_MOST)
def _made(case: str, language: str, entries: int, minute: int) -> dict[str, Any]:  # noqa: ARG001
    return pack_case(the_workplace(), case, language)
