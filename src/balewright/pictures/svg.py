"""SVG as text: elements with escaped attributes, and escaped words. Nothing else is needed."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

Attributes = Mapping[str, str | float]


def text(words: str) -> str:
    """Words made safe between tags."""
    return escape(words, quote=False)


def element(name: str, attributes: Attributes, *inside: str) -> str:
    """One element; numbers are printed with two decimals at most, `inside` stands as it is."""
    said = "".join(f' {key}="{_value(value)}"' for key, value in attributes.items())
    if not inside:
        return f"<{name}{said}/>"
    return f"<{name}{said}>{''.join(inside)}</{name}>"


def _value(value: str | float) -> str:
    if isinstance(value, str):
        return escape(value)
    return f"{value:.2f}".rstrip("0").rstrip(".")
