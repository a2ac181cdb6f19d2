"""A case on paper, set by typst with the packaged font, its photos in it."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

import typst

from balewright.cards.case_data import CaseData
from balewright.cards.sheet_pdf import fonts

_TEMPLATE: Final = "case_page.typ"
_ENDINGS: Final = {b"\xff\xd8": "jpg", b"\x89P": "png"}


def case_pdf(data: CaseData, key: str, photos: Mapping[str, bytes]) -> bytes:
    """A case as a PDF on A4. key: of the case; photos: content of those that are there, by hash."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        template = Path(__file__).with_name(_TEMPLATE).read_bytes()
        (root / _TEMPLATE).write_bytes(template)
        given: dict[str, Any] = {**asdict(data), "key": key}
        for at, shown in enumerate(given["photos"]):
            content = photos.get(shown["sha256"], b"")
            ending = _ENDINGS.get(content[:2])
            shown["file"] = "" if ending is None else f"{at}.{ending}"
            if shown["file"]:
                (root / shown["file"]).write_bytes(content)
        made: object = typst.compile(
            str(root / _TEMPLATE),
            root=str(root),
            font_paths=fonts(),
            sys_inputs={"case": json.dumps(given, ensure_ascii=False)},
        )
    assert isinstance(made, bytes)
    return made
