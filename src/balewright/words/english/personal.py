"""Originals' retention, personal data: where it lies, erasing it, who looked."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "originals.kept": "Originals kept: {contents}, {size_bytes}.",
    "originals.for_good": (
        "They are kept for good. Set a rule with `balewright originals --keep DAYS`."
    ),
    "originals.rule": (
        "They are kept for {days} days; without its original a bale stays, but can no longer be "
        "traced."
    ),
    "originals.let_go": "Let go: {count}.",
    "originals.due": (
        "Older than the rule: {count}, {due_bytes}. `balewright originals --let-go` removes them."
    ),
}
