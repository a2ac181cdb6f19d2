"""The script that draws chart specs in the browser: written once at set-up, never per request."""

from __future__ import annotations

import hashlib
from importlib.metadata import version
from typing import Final

import vl_convert

VEGA_LITE: Final = "6.4"
"""The version of the grammar that our specs are written in."""


def chart_bundle() -> str:
    """Vega-Lite with everything it needs, as one script that asks for nothing from outside."""
    names = "window.vegaEmbed = vegaEmbed;"
    return str(vl_convert.javascript_bundle(names, VEGA_LITE))


def bundle_stamp() -> str:
    """Changes whenever `chart_bundle` would give another script."""
    told = f"{version('vl-convert-python')} {VEGA_LITE}"
    return hashlib.sha256(told.encode()).hexdigest()[:16]
