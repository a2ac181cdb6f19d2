"""What a trace's reading has to say: refusals and doubts, counted all, held up to a limit."""

from __future__ import annotations

from collections import Counter
from typing import Final

from balewright.records.intake import Doubt, Refusal
from balewright.records.quality import Mark

MOST_HELD: Final = 1000
_SHOWN: Final = 80


class Notes:
    """Collects while one file is read; the totals go on where the lists are full."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.refusals: list[Refusal] = []
        self.doubts: list[Doubt] = []
        self.refused_total = 0
        self.doubtful_total = 0
        self.bytes_done = 0
        self.left_out: Counter[str] = Counter()
        """Lines and frames that carry no message by their kind, such as `comment line`."""

    def tell(self, done: int, total: int | None) -> None:  # noqa: ARG002  a listener's form
        """Hear how far the file was read, in bytes as it is stored."""
        self.bytes_done = done

    def refuse(self, place: str, text: str | bytes, reason: str) -> None:
        """Note one thing that could not be read."""
        self.refused_total += 1
        if len(self.refusals) < MOST_HELD:
            self.refusals.append(Refusal(self.file, place, shown(text), reason))

    def doubt(self, place: str, mark: Mark, text: str) -> None:
        """Note one thing that is odd and kept."""
        self.doubtful_total += 1
        if len(self.doubts) < MOST_HELD:
            self.doubts.append(Doubt(self.file, place, mark, text))


def shown(text: str | bytes) -> str:
    """A line as it can be shown: short, and without what a screen might obey."""
    if isinstance(text, bytes):
        text = text[: 4 * _SHOWN].decode("utf-8", "replace")
    text = "".join(sign if sign.isprintable() else "·" for sign in text[: 2 * _SHOWN].strip())
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
