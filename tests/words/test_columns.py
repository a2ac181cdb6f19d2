"""Columns of the bale table in trade words."""

from __future__ import annotations

import pytest

from balewright.quantities.reason import because
from balewright.records.columns import BY_NAME
from balewright.words.english.columns import MESSAGES
from balewright.words.say import say


@pytest.mark.law
def test_every_column_has_its_words_and_no_two_share_them() -> None:
    """No column of the table is missing or invented, and none is taken for another."""
    assert set(MESSAGES) == {f"column.{name}" for name in BY_NAME}
    assert len(set(MESSAGES.values())) == len(MESSAGES)
    assert all("_" not in said for said in MESSAGES.values())


@pytest.mark.own
def test_a_sentence_names_columns_in_trade_words() -> None:
    """The core names columns; a reader meets no raw name, and an unknown name stays as it is."""
    silent = because("findings.silence", since_bale=7, columns="film1_m, full_at, odd", bales=20)
    assert "film metres at dispenser 1, time the chamber was full, odd fell silent" in say(silent)
    unwatched = because("findings.untold.watch", measures="transfer_s, odd")
    assert say(unwatched).endswith("time from gate to wrapper, odd.")
