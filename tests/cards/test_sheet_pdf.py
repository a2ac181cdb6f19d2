"""Card and long sheet as files: pages of ISO size, packaged font only, nothing read as markup."""

from __future__ import annotations

import re
import zlib
from dataclasses import replace

import pytest

from balewright.cards.issue import Issue
from balewright.cards.sheet_data import sheet_data, two_columns
from balewright.cards.sheet_pdf import Paper, paper_data, sheet_pdf, sheet_png
from balewright.readers.profile import shipped_profiles
from cards.examples import HAY, LONG, full_day, issued, sheet_for

POINTS = {Paper.A5: (419.53, 595.28), Paper.A4: (595.28, 841.89)}  # ISO 216
MAKES = sorted(shipped_profiles())


def pages(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height in points of every page, from the file's own page objects."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    unpacked = [pdf]
    for stream in streams:
        try:
            unpacked.append(zlib.decompress(stream))
        except zlib.error:
            continue
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", b"\n".join(unpacked))
    return [(float(wide), float(high)) for wide, high in boxes]


@pytest.mark.published
@pytest.mark.parametrize("make", MAKES)
@pytest.mark.parametrize("paper", Paper)
def test_pages_of_iso_size(make: str, paper: Paper) -> None:
    """Long values and long own words on every line still make one page A5, two at most of A4;
    the font is in the file."""
    sheet = full_day(sheet_for(make, LONG, winded=True))
    pdf = sheet_pdf(sheet, "en", issued(sheet), paper)
    assert pdf.startswith(b"%PDF-")
    found = pages(pdf)
    assert len(found) in ((1,) if paper is Paper.A5 else (1, 2))
    for page in found:
        assert page == pytest.approx(POINTS[paper], abs=0.1)
    assert b"SourceSansPro" in pdf


@pytest.mark.own
@pytest.mark.parametrize("make", MAKES)
def test_every_line_stands_on_the_card_once(make: str) -> None:
    """The two columns hold every group line and section once, in order, none taller than all."""
    sheet = full_day(sheet_for(make))
    data = sheet_data(sheet)
    left, right = two_columns(data)
    blocks = [*left, *right]
    keys = [line["key"] for block in blocks for line in block.get("lines", ())]
    assert keys == [line["key"] for group in data["groups"] for line in group["lines"]]
    assert sorted(keys) == sorted(line.key for line in sheet.lines if line.value != "not used")
    said = [text for block in blocks for text in block.get("sentences", ())]
    assert said == [text for part in data["sections"] for text in part["sentences"]]
    assert all((left, right))


@pytest.mark.own
def test_what_a_job_has_no_use_for_shares_a_row() -> None:
    """Dry hay: the film's settings stand together in one row that says they are not used."""
    sheet = sheet_for("thistlewick-t1", HAY)
    unused = [line.key for line in sheet.lines if line.value == "not used"]
    assert len(unused) >= 5
    rows = [row for group in sheet_data(sheet)["groups"] for row in group["lines"]]
    (row,) = [row for row in rows if row["value"] == "not used"]
    assert row["label"].count(", ") == len(unused) - 1
    assert "Wrap turns" in row["label"]
    assert row["why"]
    assert len(rows) == len(sheet.lines) - len(unused) + 1


@pytest.mark.own
def test_what_is_not_known_about_a_copy_is_not_printed() -> None:
    """Without an issue there is no date, no id and no code; with one all three are there."""
    sheet = sheet_for("plainrow-p0")
    bare, whole = (paper_data(sheet, one, "en") for one in (Issue(), issued(sheet)))
    assert (bare["issue"], bare["code"]) == ([], "")
    assert whole["issue"][0] == "valid until 2026-07-07"
    assert re.fullmatch(r"sheet S-[0-9a-f]{12}", whole["issue"][1])
    assert whole["code"].startswith("<svg")


@pytest.mark.own
def test_text_is_never_read_as_markup() -> None:
    """A serial full of the typesetter's own signs is printed as it is."""
    sheet = replace(sheet_for("plainrow-p0"), machine_serial='#panic("x") $*_`')
    for paper in Paper:
        assert sheet_pdf(sheet, paper=paper).startswith(b"%PDF-")


@pytest.mark.own
def test_the_same_sheet_gives_the_same_file() -> None:
    """No clock and no chance in the file: printed again, it is equal byte by byte."""
    sheet = sheet_for("thistlewick-t1")
    assert sheet_pdf(sheet, "en", issued(sheet)) == sheet_pdf(sheet, "en", issued(sheet))


@pytest.mark.own
def test_a_picture_of_the_card() -> None:
    """The card as PNG, and the first page of the long sheet."""
    sheet = sheet_for("mossgrinder-m2")
    for paper in Paper:
        assert sheet_png(sheet, paper=paper).startswith(b"\x89PNG")
