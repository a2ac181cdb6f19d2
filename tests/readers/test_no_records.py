"""Files that are no records of a machine are called what they are."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from balewright.quantities.errors import BadInput
from balewright.readers.no_records import require_text
from balewright.readers.open_records import open_records

pytestmark = pytest.mark.own

NOISE = random.Random(4).randbytes(9000)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (NOISE, "binary data"),
        (bytes(code for code in NOISE if code not in (0, 10, 13)), "binary data"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF" + NOISE, "a photo"),
        (b"%PDF-1.7\nsome text of a document", "a PDF document"),
        (b"MZ\x90\x00" + NOISE, "a program"),
        (b"\x00\x00\x00\x20ftypisom" + NOISE, "a film"),
        (b"machine,bale_no\n" + b"\0" * 200, "binary data"),
    ],
)
def test_junk_is_called_what_it_is(tmp_path: Path, content: bytes, said: str) -> None:
    """Not a word of line ends or of columns: what it is, and which file to choose."""
    path = tmp_path / "odd.bin"
    path.write_bytes(content)
    with pytest.raises(BadInput) as refused:
        for _ in open_records(path).batches:
            pass
    (fault,) = refused.value.faults
    assert said in fault.given
    assert "line" not in f"{fault.need} {fault.cure}"


@pytest.mark.parametrize(
    "text",
    [
        b"machine,bale_no\nZ-1,1\n",
        "Maschine;Ballen\nMähwerk;1\n".encode("latin-1"),
        "\ufeffmachine;bale\nZ-1;1\n".encode("utf-16-le"),
        "machine;bale\n\u0414-1;1\n".encode("utf-16-be"),
        b"MZ,bales\nZ-1,1\n",
        b"a\tb\r\n1\t2\r\n",
        b"",
    ],
)
def test_text_of_any_kind_passes(text: bytes) -> None:
    """In whatever encoding: which it is, others judge."""
    require_text(Path("a.csv"), text)
