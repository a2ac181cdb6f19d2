"""A link as a code that a phone's camera reads: black squares on white."""

from __future__ import annotations

from io import BytesIO
from typing import Final

import segno

QUIET_MODULES: Final = 4
"""White squares around a code (ISO/IEC 18004: four)."""


def code_svg(link: str) -> str:
    """The code as SVG, with its quiet zone, error correction M (about 15 % may be dirt)."""
    out = BytesIO()
    segno.make(link, error="m", micro=False).save(
        out, kind="svg", border=QUIET_MODULES, xmldecl=False, svgns=True, light="#fff"
    )
    return out.getvalue().decode("utf-8")
