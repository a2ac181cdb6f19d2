"""Sentences on what moved: every measure, every direction, units by words."""

from __future__ import annotations

from itertools import product

import pytest

from balewright.findings.measures.book import MEASURES, sensors_of
from balewright.findings.measures.measure import Family, Measure
from balewright.findings.measures.rates import code_measures
from balewright.findings.measures.telling import Moved, is_told, restless_words, words_of
from balewright.plan.machine import Machine
from balewright.quantities.interval import Interval
from balewright.words.say import say

ALL = (*MEASURES, *code_measures(["520192/5"]))
BY_KEY = {measure.key: measure for measure in ALL}
BETWEEN = {"since_bale": 131, "first_bale": 128, "last_bale": 136}
AT = {"since_bale": 131, "first_bale": 131, "last_bale": 131}


def plain(text: str) -> str:
    """With ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.own
@pytest.mark.parametrize("measure", ALL, ids=lambda measure: measure.key)
def test_each_direction_has_one_plain_sentence(measure: Measure) -> None:
    """Up and down differ, nothing is left in braces, and both end as a sentence does, however
    narrow the start is, whether it crept, and in both systems of units."""
    frames = ((BETWEEN, False), (AT, False), (BETWEEN, True))
    for (since, grows), language in product(frames, ("en", "en-u-ms-ussystem")):
        said = []
        for now in (1.4, 0.7):
            moved = Moved(1.0, Interval(now - 0.1, now, now + 0.1), since, 0.97, grows)
            text = plain(say(words_of(measure, moved), language))
            assert text.endswith("(97 % sure).")
            assert "{" not in text
            assert "131" in text
            assert ("128" in text) == (since is BETWEEN)
            assert text.startswith("Little by little") == grows
            said.append(text)
        assert said[0] != said[1]
        if measure.family is Family.RATE:
            assert "1.4 in 100 bales instead of 1 " in said[0]


@pytest.mark.practice
def test_a_technician_reads_when_what_how_much_and_how_sure() -> None:
    """Worked examples, as they stand on the desk."""
    chamber = Moved(112.0, Interval(95.0, 97.0, 99.0), BETWEEN, 0.97)
    assert plain(say(words_of(BY_KEY["chamber_bar"], chamber))) == (
        "From about bale 131 (it began between 128 and 136): the chamber presses less hard, "
        "97 bar instead of 112 bar (97 % sure)."
    )
    oil = Moved(52.0, Interval(60.0, 61.0, 62.0), BETWEEN, 0.9, grows=True)
    assert plain(say(words_of(BY_KEY["oil_c"], oil), "en-u-ms-ussystem")) == (
        "Little by little since about bale 131 (128 to 136): oil runs hotter than air and work "
        "explain, 142 °F instead of 126 °F (90 % sure)."
    )
    film = Moved(1.70, Interval(1.52, 1.53, 1.54), AT, 0.97)
    assert plain(say(words_of(BY_KEY["film1_stretch_ratio"], film))) == (
        "From bale 131: dispenser 1 draws more film for the way round the bale, by 10 % "
        "(97 % sure)."
    )
    breaks = Moved(1.2, Interval(3.0, 6.0, 11.0), AT, 0.9999)
    assert plain(say(words_of(BY_KEY["film2_breaks"], breaks))) == (
        "From bale 131: film breaks at dispenser 2 more often, 6 in 100 bales instead of 1.2 "
        "(between 3 and 11) (99 % sure)."
    )


@pytest.mark.law
def test_good_news_is_not_told() -> None:
    """A direction the book gives no weight is no finding."""
    quicker = Moved(5.0, Interval(3.9, 4.0, 4.1), AT, 0.9)
    slower = Moved(4.0, Interval(4.9, 5.0, 5.1), AT, 0.9)
    assert not is_told(BY_KEY["transfer_s"], quicker)
    assert is_told(BY_KEY["transfer_s"], slower)
    assert not is_told(BY_KEY["film1_breaks"], Moved(10.0, Interval(0.0, 1.0, 2.0), AT, 0.9))


@pytest.mark.own
def test_restless_columns_have_their_sentence(ring: Machine) -> None:
    """For every column that is watched for it."""
    for column in sensors_of(ring):
        text = plain(say(restless_words(column, BETWEEN, 0.9)))
        assert "jump more from bale to bale" in text
        assert column not in text
