"""What a mark on doubtful records says in plain words, and what to do about it."""

from __future__ import annotations

from balewright.words.say import catalogue


def say_mark(mark: str, language: str = "en") -> str:
    """What a mark says; the mark itself where nobody wrote it down.

    mark: as `records.quality.Mark` stores it; language: a tag of `words/reader`.
    """
    return catalogue(language).get(_key(mark)) or mark.capitalize()


def say_mark_cure(mark: str, language: str = "en") -> str | None:
    """What to do about a mark, None where nobody wrote it down."""
    return catalogue(language).get(f"{_key(mark)}.do")


def _key(mark: str) -> str:
    return f"intake.mark.{mark.replace(' ', '_')}"
