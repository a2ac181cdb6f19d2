"""`balewright sheet --language --units`."""

from __future__ import annotations

from pathlib import Path

import pytest

from balewright.cards.sheet_message import MESSAGE_SIGNS
from balewright.cli.entry import run
from balewright.words.languages import LANGUAGES, tongue
from balewright.words.phone_text import ALPHABET

JOB = (
    *("sheet", "--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "62%"),
    *("--windrow-kg-m", "4", "--slope", "12%"),
)


@pytest.mark.own
@pytest.mark.parametrize("code", LANGUAGES)
def test_the_shell_prints_a_sheet_in_any_language(
    code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Headings, labels and units are the reader's own."""
    assert run([*JOB, "--language", code, "--units", "us"]) == 0
    text = capsys.readouterr().out
    assert tongue(code).messages["card.title"] in text
    assert tongue(code).messages["line.chamber_bar"] in text
    assert "5.6 mph" in text if code == "en" else "5,6 mph" in text
    assert "km/h" not in text.partition("[pami")[0].replace("pami-1977", "")


@pytest.mark.own
@pytest.mark.parametrize("code", LANGUAGES)
def test_a_message_fits_in_any_language(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Five text messages of the phones' own alphabet hold it, cautions and all."""
    assert run([*JOB, "--language", code, "--message"]) == 0
    text = capsys.readouterr().out
    assert set(text) <= ALPHABET
    assert len(text) <= MESSAGE_SIGNS


@pytest.mark.own
def test_files_are_written_for_the_reader(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page that needs no signal says its language and that nobody has reviewed it."""
    page = tmp_path / "sheet.html"
    assert run([*JOB, "--language", "de", "--html", str(page)]) == 0
    capsys.readouterr()
    text = page.read_text(encoding="utf-8")
    assert '<html lang="de">' in text
    assert tongue("de").messages["reader.not_reviewed"] in text
    assert '<ul lang="en">' in text


@pytest.mark.own
@pytest.mark.parametrize(("option", "given"), [("--language", "xx"), ("--units", "cubits")])
def test_what_there_is_not_is_refused(
    option: str, given: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A language or units that there are not: exit 2, and what there is."""
    assert run([*JOB, option, given]) == 2
    assert "needs one of" in capsys.readouterr().err
