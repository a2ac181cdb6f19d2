"""Which messages a reader of a setup sheet can see: those that have to be in every catalogue."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Final

from balewright.words import english

_TOPICS: Final = ("cautions", "cause_cautions", "terms")
_SHEETS: Final = "sheet"
_BEHIND_A_LINK: Final = ("desk.shared.", "desk.sheet.group.", "desk.sheet.sure.", "desk.film.t",
                         "film.map.", "film.turnable", "desk.case_phone.", "desk.case_page.",
                       "case.proof.")  # fmt: skip
"""Beginnings of keys that a page without an account shows."""
_PAGE: Final = ("frame.first", "frame.skip", "frame.theme", "machine.jumps")
_BODY: Final = ("allowed", "card", "cautions", "col.setting", "col.value", "col.why", "cycle",
                "density", "dial", "dry", "expected", "film", "film_rolls", "held_back", "layers",
                "mass", "mass_range", "net", "net_rolls", "own_word", "pace", "settings", "short",
                "size", "sources", "title", "unknown")  # fmt: skip
"""Of the desk's own messages, and of those on a sheet's page (`desk.sheet.`), what stands there."""
_ANSWERS: Final = ("ask", "what", "worked", "did_not", "changed", "more", "outcome", "line",
                   "line.none", "value", "text", "text.hint", "send", "sent", "queued", "over",
                   "waiting.one", "waiting.many", "fault")  # fmt: skip
"""Of the messages round answers to a sheet (`desk.feedback.`), those that its reader sees."""


def sheet_topics() -> tuple[str, ...]:
    """Modules of English messages that stand on a sheet: all named `sheet...`, and what they say
    besides."""
    found = (module.name for module in pkgutil.iter_modules(english.__path__))
    return tuple(sorted(name for name in found if name.startswith(_SHEETS) or name in _TOPICS))


def sheet_keys() -> frozenset[str]:
    """Keys of every message that a reader of a sheet can see, on paper or behind a link."""
    found = {
        key
        for topic in sheet_topics()
        for key in importlib.import_module(f"{english.__name__}.{topic}").MESSAGES
    }
    found |= {f"desk.feedback.{name}" for name in _ANSWERS}
    found |= {f"desk.sheet.{name}" for name in _BODY} | {f"desk.{name}" for name in _PAGE}
    found |= {key for key in english.messages() if key.startswith(_BEHIND_A_LINK)}
    return frozenset(found)
