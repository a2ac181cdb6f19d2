"""A machine's settings as somebody gives them: in a file, or typed into a page."""

from __future__ import annotations

from pathlib import Path

from balewright.readers import settings_list

Pairs = settings_list.Pairs


def read_settings(given: Path | str) -> Pairs:
    """Names and values in their order, from a file (a path) or from what was typed (a text).

    Raises BadInput with every fault at once; which forms are read: `readers/settings_list`.
    """
    if isinstance(given, Path):
        return settings_list.read_settings_file(given)
    return settings_list.read_settings(given)
