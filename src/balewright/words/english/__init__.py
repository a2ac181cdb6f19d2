"""The English catalogue: one module a topic, merged by themselves."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType


@cache
def messages() -> Mapping[str, str]:
    """Every English message by its key; two topics with one key are a fault of ours."""
    merged: dict[str, str] = {}
    for topic in sorted(module.name for module in pkgutil.iter_modules(__path__)):
        found = importlib.import_module(f"{__name__}.{topic}").MESSAGES
        doubled = merged.keys() & found.keys()
        if doubled:
            raise ValueError(f"{topic} repeats the messages {sorted(doubled)}")
        merged |= found
    return MappingProxyType(merged)
