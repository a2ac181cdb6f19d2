"""Pages and catalogue fit each other: no key without words, no words without a page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from balewright.words.english import messages

pytestmark = pytest.mark.law

DESK = Path(__file__).parents[2] / "src" / "balewright" / "desk"
WHOLE = re.compile(r"""words[ (]["']([\w.]+)["'](?!\|)""")
BEGUN = re.compile(r"""words[ (]f?["']([\w.]*\.)(?:["']\|add|\{)""")
ON_PAPER = re.compile(r"""Reason\(f"desk\.([\w.]+\.)\{""")
LISTED = re.compile(r"""["'](\w+(?:\.\w+)+)["']""")


def sources() -> list[str]:
    """Every template and module of the desk."""
    return [path.read_text() for kind in ("*.py", "*.html") for path in DESK.rglob(kind)]


def papers() -> list[str]:
    """Every module that puts a card together, which the desk shows too."""
    return [path.read_text() for path in (DESK.parent / "cards").glob("*.py")]


def test_every_key_in_a_page_has_words() -> None:
    """A page never meets a missing message."""
    keys = {key for text in sources() for key in WHOLE.findall(text)}
    assert len(keys) > 100
    assert sorted(f"desk.{key}" for key in keys if f"desk.{key}" not in messages()) == []


def test_every_message_of_the_desk_is_said_somewhere() -> None:
    """Words that no page says are dropped."""
    texts = sources()
    whole = {f"desk.{key}" for text in texts for key in WHOLE.findall(text) + LISTED.findall(text)}
    begun = tuple(f"desk.{key}" for text in texts for key in BEGUN.findall(text))
    begun += tuple(f"desk.{key}" for text in papers() for key in ON_PAPER.findall(text))
    unused = [
        key
        for key in messages()
        if key.startswith("desk.") and key not in whole and not key.startswith(begun)
    ]
    assert unused == []
