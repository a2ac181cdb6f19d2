"""The tally of what the project is checked against."""

from __future__ import annotations

from collections import Counter

import pytest

import tally
from balewright.quantities.sources import all_sources, source


@pytest.mark.law
def test_every_check_names_a_source_of_the_bibliography() -> None:
    """A check against something nobody can look up is none."""
    assert tally.pairs()
    for _, key in tally.pairs():
        assert source(key).text


@pytest.mark.law
def test_the_page_of_checks_is_what_the_tests_compare() -> None:
    """The documentation claims no check that is not there and hides none."""
    assert tally.PAGE.read_text() == tally.page(), "run: python tests/tally.py"


@pytest.mark.law
def test_no_source_stands_twice_in_the_bibliography() -> None:
    """One key, one source; and one text, one key."""
    assert Counter(one.key for one in all_sources()).most_common(1)[0][1] == 1
    assert Counter(one.text for one in all_sources()).most_common(1)[0][1] == 1
