"""Text for a phone's message in its 7-bit alphabet, so that no sign costs two.

One sign outside that alphabet halves what a message holds. Letters with marks that it lacks stand
without them, as people write them in messages anyway; ä, ö, ü, ß, é, è and à stay.
"""

from __future__ import annotations

import unicodedata
from typing import Final

ALPHABET: Final = frozenset(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?¡"
    "ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà[]"
)
"""3GPP TS 23.038, section 6.2.1, with the brackets of its extension."""
_INSTEAD: Final = {
    "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "’": "'", "‘": "'", "“": '"',
    "”": '"', "„": '"', "–": "-", "—": "-", "µ": "u", "ł": "l", "Ł": "L", "œ": "oe", "Œ": "OE",
    "²": "2", "³": "3", "×": "x", "·": ".", "…": "...", "°": "", "«": '"', "»": '"',
}  # fmt: skip


def phone_text(text: str) -> str:
    """The text in ALPHABET; a sign that has nothing like it there is a question mark."""
    return "".join(sign if sign in ALPHABET else _like(sign) for sign in text)


def _like(sign: str) -> str:
    if sign in _INSTEAD:
        return _INSTEAD[sign]
    bare = unicodedata.normalize("NFKD", sign)[0]
    return bare if bare in ALPHABET else "?"
