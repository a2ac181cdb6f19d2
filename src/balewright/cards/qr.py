"""A link as a code that a phone's camera reads: black squares on white."""

from __future__ import annotations

from io import BytesIO
from typing import Final

import segno

QUIET_MODULES: Final = 4
"""White squares around a code (ISO/IEC 18004: four)."""


def code_svg(link: str) -> str:
    """The code as SVG, with its quiet zone, error correction M (about 15 % may be dirt).

    It has a viewBox and no size of its own, so that it is as large as the place it stands in.
    """
    out = BytesIO()
    segno.make(link, error="m", micro=False).save(
        out, kind="svg", border=QUIET_MODULES, xmldecl=False, nl=False, omitsize=True,
        light="#fff", dark="#000",
    )  # fmt: skip
    return out.getvalue().decode("utf-8")
