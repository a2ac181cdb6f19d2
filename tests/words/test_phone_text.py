"""Messages in the alphabet of phones."""

from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.words.languages import LANGUAGES, tongue
from balewright.words.phone_text import ALPHABET, phone_text
from balewright.words.sheet_keys import sheet_keys


@pytest.mark.law
@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60))
def test_nothing_outside_the_alphabet_is_left(text: str) -> None:
    """Whatever is written, every sign of the answer is in the alphabet, and twice is once."""
    sent = phone_text(text)
    assert set(sent) <= ALPHABET
    assert phone_text(sent) == sent


@pytest.mark.published
def test_the_alphabet_is_that_of_the_standard() -> None:
    """3GPP TS 23.038 has 128 places, one of them for the way to its extension; two brackets of
    the extension come in."""
    assert len(ALPHABET) == 128 - 1 + 2


@pytest.mark.derived
@pytest.mark.parametrize(
    ("text", "sent"),
    [
        ("Wał odbioru mocy: wyłącz, żółć", "Wal odbioru mocy: wylacz, zolc"),
        ("d’abord débrayée, moteur arrêté", "d'abord débrayée, moteur arreté"),
        ("Größe über 1\N{NARROW NO-BREAK SPACE}500 m", "Größe über 1 500 m"),
        ("25\N{NO-BREAK SPACE}µm, kg/m³ – 71 °C", "25 um, kg/m3 - 71 C"),
        ("中", "?"),
    ],
)  # fmt: skip
def test_letters_lose_their_marks_and_nothing_else(text: str, sent: str) -> None:
    """Letters stand without marks the alphabet lacks; umlauts and é stay as they are."""
    assert phone_text(text) == sent


@pytest.mark.own
@pytest.mark.parametrize("code", LANGUAGES)
def test_no_message_of_ours_needs_a_question_mark(code: str) -> None:
    """Every sentence of a sheet can be sent without a sign that is not known."""
    for key in sheet_keys():
        parts = string.Formatter().parse(tongue(code).messages[key])
        text = "".join(plain for plain, *_ in parts).replace("|", " ")
        assert phone_text(text).count("?") == text.count("?"), key
