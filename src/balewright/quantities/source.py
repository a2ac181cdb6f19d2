"""What a source is, and how strong."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Strength(StrEnum):
    """How strong a source is, strongest first."""

    PUBLISHED = "published"
    STANDARD = "standard"
    REFERENCE = "reference library"
    DERIVED = "derived"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    ASSUMED = "assumed"


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography: key, how strong, what and where."""

    key: str
    strength: Strength
    text: str
