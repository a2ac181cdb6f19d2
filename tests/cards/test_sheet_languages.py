"""Sheets in every language and both systems of units: nothing missing, nothing over its line."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace

import pytest

from balewright.cards.sheet_data import sheet_data
from balewright.cards.sheet_pdf import Paper, sheet_pdf
from balewright.cards.sheet_text import WIDTH, sheet_text
from balewright.plan.crop import Crop
from balewright.plan.sheet.sheet import Conditions, Sheet
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles
from balewright.words.languages import LANGUAGES, SOURCE, tongue
from balewright.words.reader import Reader, Units
from balewright.words.sheet_keys import sheet_keys
from cards.examples import ASKED, HAY, LONG, PLAIN, full_day, issued, sheet_for
from cards.test_sheet_layout import EDGE, PAGE, TOUCHING, boxes_of
from cards.test_sheet_pdf import pages

MAKES = sorted(shipped_profiles())
TRANSLATED = [code for code in LANGUAGES if code != SOURCE]
TAGS = [Reader(language, units).tag for language in LANGUAGES for units in Units]
WORDS = {"crop", "binding", "side", "part"}
"""Values of reasons that are words of ours, said in the reader's language."""


def reasons(value: object) -> Iterator[Reason]:
    """Every reason in a frozen value, however deep."""
    if isinstance(value, Reason):
        yield value
    elif isinstance(value, tuple):
        for entry in value:
            yield from reasons(entry)
    elif is_dataclass(value):
        for one in fields(value):
            yield from reasons(getattr(value, one.name))


def many_sheets() -> Iterator[Sheet]:
    """Sheets of every make and crop on flat and steep ground, with and without film and net."""
    for make, crop, steep in itertools.product(MAKES, Crop, (False, True)):
        asked: Conditions = replace(
            LONG if steep else PLAIN,
            crop=crop,
            moisture_frac=0.55 if crop.is_wrapped else (0.24 if steep else 0.15),
            film=None if steep and crop is Crop.HAYLAGE else PLAIN.film,
            net_roll_m=None if steep else 3000.0,
            climate=None,
        )
        try:
            yield sheet_for(make, asked)
        except BadInput:
            continue


@pytest.mark.law
def test_all_that_a_sheet_says_is_among_what_is_translated() -> None:
    """No sheet names a message outside the set that every catalogue has to hold, nor a word of
    ours without its term."""
    sheets = list(many_sheets())
    assert len(sheets) > 20
    terms = tongue(SOURCE).messages
    for sheet in sheets:
        for reason in reasons(sheet):
            assert reason.key in sheet_keys(), reason.key
            for name, value in reason.values:
                if isinstance(value, str):
                    assert name in WORDS, (reason.key, name, value)
                    assert f"term.{name}.{value.replace(' ', '_')}" in terms, value
        part = sheet.expected.held_back_by.replace(" ", "_")
        assert f"term.part.{part}" in terms
        for line in sheet.lines:
            assert f"line.{line.key}" in terms
            if isinstance(line.value, str):
                assert f"choice.{line.value.replace(' ', '_')}" in terms


@pytest.mark.own
@pytest.mark.parametrize("code", TRANSLATED)
@pytest.mark.parametrize("make", MAKES)
def test_a_sheet_says_no_english_word_of_ours(make: str, code: str) -> None:
    """Every heading, label, choice, reason and caution differs from the English one, but for
    names, numbers, sources, the dial's own words and the few words that two languages share."""
    sheet = sheet_for(make)
    english, other = sheet_data(sheet), sheet_data(sheet, language=code)
    for theirs, ours in zip(english["groups"], other["groups"], strict=True):
        for one, two in zip(theirs["lines"], ours["lines"], strict=True):
            assert one["label"] != two["label"]
            assert one["why"] != two["why"]
            assert one["sure"] != two["sure"]
            assert one["dial"] == two["dial"]
    said = [set(data["cautions"]) for data in (english, other)]
    assert not said[0] & said[1]
    said = [{text for part in data["sections"] for text in part["sentences"]} for data in
            (english, other)]  # fmt: skip
    assert not said[0] & said[1]


@pytest.mark.own
@pytest.mark.parametrize("tag", TAGS)
def test_a_translation_that_nobody_reviewed_says_so(tag: str) -> None:
    """Its small print says it, and the English cautions stand beside; English has neither."""
    sheet = sheet_for("mossgrinder-m2", LONG)
    data = sheet_data(sheet, language=tag)
    if tag.startswith(SOURCE):
        assert (data["note"], data["cautions_beside"]) == ("", [])
        return
    assert data["note"] == tongue(tag[:2]).messages["reader.not_reviewed"]
    units = Units.US if tag.endswith("ussystem") else Units.METRIC
    assert (
        data["cautions_beside"] == sheet_data(sheet, language=Reader("en", units).tag)["cautions"]
    )
    assert len(data["cautions_beside"]) == len(data["cautions"])
    assert data["language"] == tag[:2]


@pytest.mark.published
@pytest.mark.parametrize("tag", [tag for tag in TAGS if tag != SOURCE])
@pytest.mark.parametrize("make", MAKES)
def test_nothing_overflows_its_line(make: str, tag: str) -> None:
    """In no language and no unit does a label reach its value, or a value a second line, on a
    card of ISO A5 with long values; the card stays one page and legible."""
    sheet = sheet_for(make, LONG)
    boxes, size = boxes_of(sheet, Paper.A5, tag)
    wide, high = PAGE[Paper.A5]
    by_name = {box.name: box for box in boxes}
    assert {box.page for box in boxes} == {1}
    assert size >= 5.0
    for box in boxes:
        assert EDGE[Paper.A5] <= box.left <= box.right <= wide - EDGE[Paper.A5], box
        assert box.bottom <= high - EDGE[Paper.A5], box
    for line in sheet.lines:
        label, value = by_name[f"label {line.key}"], by_name[f"value {line.key}"]
        assert label.right <= value.left + TOUCHING, label
        # type 1.5 units high on a line of its own; two lines of label, its range with it
        assert value.bottom - value.top < 1.5 * size * 1.5, value
        assert label.bottom - label.top < 3.0 * size * 1.1, label
        if dial := by_name.get(f"dial {line.key}"):
            assert dial.right <= value.left + TOUCHING, dial
            assert label.right <= dial.left + TOUCHING or label.bottom <= dial.top + TOUCHING, dial
            assert dial.bottom - dial.top < 2.0 * size, dial


@pytest.mark.own
@pytest.mark.parametrize("tag", TAGS)
def test_every_value_of_the_long_sheet_stands_on_one_line(tag: str) -> None:
    """On A4 too a value with its unit is not broken, and no label or value reaches the next."""
    sheet = sheet_for("mossgrinder-m2", LONG)
    boxes, size = boxes_of(sheet, Paper.A4, tag)
    by_name = {box.name: box for box in boxes}
    for line in sheet.lines:
        label, value = by_name[f"label {line.key}"], by_name[f"value {line.key}"]
        assert label.right <= value.left + TOUCHING, label
        assert value.bottom - value.top < 1.25 * size * 1.5, value
        if dial := by_name.get(f"dial {line.key}"):
            assert value.right <= dial.left + TOUCHING, value


@pytest.mark.published
@pytest.mark.parametrize("tag", [tag for tag in TAGS if tag != SOURCE])
def test_a_full_day_in_any_language_is_one_card_and_two_pages(tag: str) -> None:
    """With conflicts, measures and many roll changes: one page A5, two of A4 at most."""
    sheet = full_day(sheet_for("mossgrinder-m2", LONG, winded=True))
    assert len(pages(sheet_pdf(sheet, tag, issued(sheet), Paper.A5))) == 1
    assert len(pages(sheet_pdf(sheet, tag, issued(sheet), Paper.A4))) <= 2


@pytest.mark.own
@pytest.mark.parametrize("tag", TAGS)
@pytest.mark.parametrize("asked", sorted(ASKED))
def test_text_keeps_its_columns(tag: str, asked: str) -> None:
    """No label runs into its value and no value into its dial; sentences stay within the width."""
    sheet = sheet_for("mossgrinder-m2", ASKED[asked])
    text = sheet_text(sheet, tag)
    rows = text.splitlines()
    data = sheet_data(sheet, language=tag)
    for line in (line for group in data["groups"] for line in group["lines"]):
        value = line["value"].replace("\N{NO-BREAK SPACE}", " ")
        if sheet.line(line["key"]).value == "not used":
            continue  # these share one row on paper and stand each by itself in the text
        row = next(row for row in rows if row.startswith(f"  {line['label']} "))
        assert f" {value}" in row
        if line["dial"]:
            assert f" [{line['dial']}]" in row
    assert all(len(row) <= WIDTH for row in rows if row.startswith("    "))


@pytest.mark.own
def test_the_same_sheet_is_meant_in_every_language() -> None:
    """Values for a German reader with metric units are the English ones with a decimal comma."""
    sheet = sheet_for("mossgrinder-m2", HAY)
    english, german = sheet_data(sheet), sheet_data(sheet, language="de")
    for theirs, ours in zip(english["groups"], german["groups"], strict=True):
        for one, two in zip(theirs["lines"], ours["lines"], strict=True):
            if one["value"][0].isdigit():
                figure = one["value"].partition("\N{NO-BREAK SPACE}")[0]
                assert two["value"].partition("\N{NO-BREAK SPACE}")[0] == figure.replace(".", ",")
