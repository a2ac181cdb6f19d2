"""A shared sheet for whoever opens it: in their language and units, with no word left behind."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from typing import TYPE_CHECKING

import pytest
from django.core.cache import caches
from tests.desk.test_shared import make_link, sheet_id

from balewright.desk import reading, wording
from balewright.quantities.reason import Reason
from balewright.words.english import messages
from balewright.words.languages import LANGUAGES, SOURCE, tongue
from balewright.words.say import say
from balewright.words.sheet_keys import sheet_keys

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

__all__ = ["sheet_id"]

pytestmark = pytest.mark.own
TRANSLATED = [code for code in LANGUAGES if code != SOURCE]


@pytest.fixture(autouse=True)
def _fresh_limits() -> Iterator[None]:
    caches["limits"].clear()
    yield
    caches["limits"].clear()


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_browser_says_the_language(desk: Desk, sheet_id: str, code: str) -> None:
    """Headings, labels, answers and the page's own language are those the browser accepts; the
    page says so, sets no cookie, and names what is not reviewed."""
    answer = desk.nobody.get(make_link(desk, sheet_id), headers={"Accept-Language": f"xx,{code}"})
    page = unescape(answer.content.decode())
    said = tongue(code).messages
    assert f'<html lang="{code}"' in page
    assert answer.headers["Content-Language"] == code
    for key in ("desk.sheet.title", "line.wrap_turns", "desk.feedback.ask", "desk.frame.first"):
        assert said[key] in page
    assert (said["reader.not_reviewed"] in page) == (code != SOURCE)
    assert not answer.cookies


@pytest.mark.parametrize("code", TRANSLATED)
def test_cautions_stand_there_in_both_languages(desk: Desk, sheet_id: str, code: str) -> None:
    """While nobody has reviewed a translation, the English cautions stand beside it."""
    page = unescape(
        desk.nobody.get(f"{make_link(desk, sheet_id)}?language={code}").content.decode()
    )
    caution = Reason("caution.stop_and_lock")
    assert say(caution, code) in page
    assert say(caution) in page


def test_what_the_address_asks_for_wins(desk: Desk, sheet_id: str) -> None:
    """`?language=de&units=us` on the page, and on every way from it: card, file, answer."""
    path = make_link(desk, sheet_id)
    answer = desk.nobody.get(f"{path}?language=de&units=us", headers={"Accept-Language": "fr"})
    page = answer.content.decode()
    assert '<html lang="de"' in page
    assert "psi" in page
    assert " bar<" not in page
    for way in ("card.pdf", "sheet.html", "answer"):
        found = re.search(rf'{re.escape(path)}/{re.escape(way)}([^"]*)"', page)
        if found is not None:
            assert unescape(found[1]) == "?language=de&units=us", way
    saved = desk.nobody.get(f"{path}/sheet.html?language=de&units=us").content.decode()
    assert '<html lang="de">' in saved


@pytest.mark.parametrize("code", TRANSLATED)
def test_no_word_of_the_page_is_missing_from_a_catalogue(
    desk: Desk, sheet_id: str, code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everything that the page says is among what every catalogue has to hold."""
    asked: set[str] = set()

    def listening(reason: Reason, language: str = SOURCE) -> str:
        asked.add(reason.key)
        return say(reason, language)

    path = make_link(desk, sheet_id)
    for module in (wording, reading):
        monkeypatch.setattr(module, "say", listening)
    desk.nobody.get(f"{path}?language={code}")
    desk.nobody.get("/s/over", headers={"Accept-Language": code})
    monkeypatch.undo()
    assert len(asked) > 60
    assert asked <= messages().keys()
    assert not asked - sheet_keys()


def test_the_desk_itself_stays_english(desk: Desk, sheet_id: str) -> None:
    """A signed-in person reads the desk in English, whatever the browser accepts, also right
    after somebody read a shared sheet in German."""
    desk.nobody.get(f"{make_link(desk, sheet_id)}?language=de")
    answer = desk.technician.get(f"/sheet/{sheet_id}", headers={"Accept-Language": "de"})
    page = unescape(answer.content.decode())
    assert "Wrap turns" in page
    assert "Wickelumdrehungen" not in page
