"""For whom words are made: tags, and what is chosen for someone nobody knows."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.words.languages import LANGUAGES
from balewright.words.reader import Reader, Units, choose_reader, reader_of, units_named


@pytest.mark.law
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("units", Units)
def test_a_tag_names_its_reader(language: str, units: Units) -> None:
    """What a reader hands on as a language tag is read back as the same reader."""
    assert reader_of(Reader(language, units).tag) == Reader(language, units)


@pytest.mark.published
def test_units_stand_in_the_tag_as_the_standard_has_them() -> None:
    """Unicode's extension of language tags (RFC 6067) names US units `u-ms-ussystem`."""
    assert Reader("de", Units.US).tag == "de-u-ms-ussystem"
    assert reader_of("fr-u-ms-metric") == Reader("fr")


@pytest.mark.own
@pytest.mark.parametrize("tag", ["", "xx", "de-AT", "en-u-ms-", "en-u-ms-uksystem", "../de", "DE"])
def test_a_tag_that_nobody_made_is_refused(tag: str) -> None:
    """A language or a system of units that there is not is refused with what there is."""
    with pytest.raises(BadInput, match="needs one of"):
        reader_of(tag)


@pytest.mark.own
def test_units_are_named_by_a_word() -> None:
    """`metric` and `us` in any case; anything else is refused."""
    assert units_named(" US ") is Units.US
    with pytest.raises(BadInput, match="units: needs one of metric, us"):
        units_named("imperial")


@pytest.mark.derived
@pytest.mark.parametrize(
    ("language", "units", "accept", "tag"),
    [
        ("", "", "", "en"),
        ("", "", "fr-CH, fr;q=0.9, en;q=0.8, de;q=0.7", "fr"),
        ("", "", "en;q=0.2, pl;q=0.8, *;q=0.1", "pl"),
        ("", "", "cs, sk;q=0.9", "en"),
        ("", "", "en-US,en;q=0.9,de;q=0.8", "en-u-ms-ussystem"),
        ("", "", "en-GB,en;q=0.9", "en"),
        ("", "", "de;q=0, pl;q=0.1", "pl"),
        ("", "", "de;q=nan, fr;q=x, pl;q=9", "en"),
        ("de", "", "en-US", "de"),
        ("de-AT", "us", "", "de-u-ms-ussystem"),
        ("en", "metric", "en-US", "en"),
        ("xx", "leagues", "de", "de"),
        ("pl-u-ms-ussystem", "", "", "pl-u-ms-ussystem"),
    ],
)
def test_a_stranger_gets_what_suits_best(language: str, units: str, accept: str, tag: str) -> None:
    """What was asked for wins, then the header's best language that there is, then English."""
    assert choose_reader(language, units, accept).tag == tag


@pytest.mark.law
@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80), st.text(max_size=20), st.text(max_size=200))
def test_nothing_that_a_browser_sends_is_refused(language: str, units: str, accept: str) -> None:
    """Any text in address or header gives some reader."""
    assert choose_reader(language, units, accept).language in LANGUAGES
