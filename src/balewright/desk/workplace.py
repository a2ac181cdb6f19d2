"""The desk's workplace: opened once a process, from the settings read at start."""

from __future__ import annotations

import functools

from django.conf import settings

from balewright.flows.workplace import Workplace
from balewright.settings import open_workplace


@functools.cache
def the_workplace() -> Workplace:
    """Register, journal, clock and profiles of this desk."""
    return open_workplace(settings.BALEWRIGHT)
