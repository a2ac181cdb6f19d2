"""Every catalogue: nothing missing, nothing stale, the same values, the language's own forms."""

from __future__ import annotations

import re
import string
from decimal import Decimal
from pathlib import Path

import pytest

from balewright.quantities.reason import because
from balewright.words.english import messages
from balewright.words.fill import placeholders, quantities
from balewright.words.languages import LANGUAGES, SOURCE, catalogue_text, tongue
from balewright.words.po import PoEntry, header_of, read_po
from balewright.words.say import say, say_value
from balewright.words.sheet_keys import sheet_keys, sheet_topics

from .renew_catalogues import renewed, written

TRANSLATED = [code for code in LANGUAGES if code != SOURCE]
NNBSP = "\N{NARROW NO-BREAK SPACE}"


def plain(text: str) -> str:
    """With ordinary spaces, to be read in a test."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.own
def test_a_sheet_takes_its_words_from_these_topics() -> None:
    """The set that has to be translated holds every line, caution and reason of a sheet."""
    assert {"sheet", "sheet_day", "cautions", "terms"} <= set(sheet_topics())
    prefixes = ("line.", "choice.", "sure.", "sheet.", "card.", "caution.", "day.", "message.")
    assert {key for key in messages() if key.startswith(prefixes)} <= sheet_keys()


@pytest.mark.law
@pytest.mark.parametrize("code", TRANSLATED)
def test_no_message_of_a_sheet_is_missing_or_stale(code: str) -> None:
    """Each is translated from the English as it stands today; run renew_catalogues.py first."""
    missing = sorted(sheet_keys() - tongue(code).translated)
    assert not missing
    known = {entry.key for entry in read_po(catalogue_text(code)) if entry.key}
    assert known == sheet_keys()


@pytest.mark.law
@pytest.mark.parametrize("code", TRANSLATED)
def test_a_translation_holds_the_same_values_and_numbers(code: str) -> None:
    """No value in braces and no figure of the English is lost, added or changed."""
    for key in sheet_keys():
        source, text = messages()[key], tongue(code).messages[key]
        assert placeholders(text) == placeholders(source), key
        assert quantities(text) == quantities(source), key
        assert _figures(text) == _figures(source), key


@pytest.mark.own
@pytest.mark.parametrize("code", TRANSLATED)
def test_an_apostrophe_looks_the_same_all_through_a_catalogue(code: str) -> None:
    """The typographic one in French, none of that kind elsewhere."""
    other = re.compile(r"\w'\w" if code == "fr" else "\N{RIGHT SINGLE QUOTATION MARK}")
    odd = [key for key in sheet_keys() if other.search(tongue(code).messages[key])]
    assert not odd


def _figures(message: str) -> list[str]:
    bare = "".join(plain for plain, *_ in string.Formatter().parse(message))
    return sorted(found.replace(",", ".") for found in re.findall(r"\d+(?:[.,]\d+)?", bare))


@pytest.mark.law
@pytest.mark.parametrize("code", LANGUAGES)
def test_counted_words_have_every_form_of_their_language(code: str) -> None:
    """As many forms as the plural rule has, and one more where fractions have their own."""
    forms = {"en": 2, "de": 2, "fr": 2, "pl": 4}[code]
    known = tongue(code)
    for key in sheet_keys():
        text = known.messages[key]
        for _, name, spec, _ in string.Formatter().parse(text):
            if name and spec and not name[0].isdigit():
                assert len(spec.split("|")) == forms, key
        if key.startswith("unit.") and "|" in text:
            assert len(text.split("|")) == forms, key


@pytest.mark.published
@pytest.mark.parametrize(
    ("code", "ones", "fews", "manys"),
    [
        # GNU gettext manual, "Additional functions for plural forms": Germanic, French, Polish.
        ("en", (1,), (), (0, 2, 5, 11, 21, 100)),
        ("de", (1,), (), (0, 2, 5, 11, 21, 100)),
        ("fr", (0, 1), (), (2, 5, 11, 21, 100)),
        ("pl", (1,), (2, 3, 4, 22, 34, 102), (0, 5, 11, 12, 14, 21, 25, 100, 112)),
    ],
)
def test_plural_forms_follow_the_languages_rule(
    code: str, ones: tuple[int, ...], fews: tuple[int, ...], manys: tuple[int, ...]
) -> None:
    """English and German have two forms, French its first one for 0 too, Polish three."""
    known, forms = tongue(code), "one|few|many|part" if code == "pl" else "one|many"
    for wanted, numbers in (("one", ones), ("few", fews), ("many", manys)):
        assert all(known.form(Decimal(number), forms) == wanted for number in numbers)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "bales", "said"),
    [
        ("en", 1, "1 bale"),
        ("en", 200, "200 bales"),
        ("de", 1, "1 Ballen"),
        ("fr", 1, "1 balle"),
        ("fr", 200, "200 balles"),
        ("pl", 1, "1 bela"),
        ("pl", 3, "3 bele"),
        ("pl", 12, "12 bel"),
        ("pl", 12000, f"12{NNBSP}000 bel"),
        ("de", 12000, f"12{NNBSP}000 Ballen"),
        ("en", 12000, "12,000 bales"),
    ],
)
def test_a_count_stands_with_its_word(tag: str, bales: int, said: str) -> None:
    """The word beside a count takes the form that the count asks for."""
    assert plain(say(because("card.bales", bales=bales), tag)) == said


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "rolls", "months"),
    [
        ("en", "1.5 rolls", "1.5 months"),
        ("de", "1,5 Rollen", "1,5 Monate"),
        ("fr", "1,5 bobine", "1,5 mois"),
        ("pl", "1,5 rolki", "1,5 miesiąca"),
    ],
)
def test_a_part_of_one_has_its_own_form(tag: str, rolls: str, months: str) -> None:
    """One and a half is many in German, one in French, and a genitive in Polish."""
    use = because("card.film_use", film_m=70.0, film_kg=1.2, film_rolls=1.5, bales=40)
    assert rolls in plain(say(use, tag))
    assert plain(say_value("storage_months", 1.5, tag)) == months


@pytest.mark.practice
@pytest.mark.parametrize(
    ("tag", "number", "day"),
    [
        ("en", "1,234,567", "2026-12-03"),
        ("de", f"1{NNBSP}234{NNBSP}567", "03.12.2026"),
        ("fr", f"1{NNBSP}234{NNBSP}567", "03/12/2026"),
        ("pl", f"1{NNBSP}234{NNBSP}567", "03.12.2026"),
    ],
)
def test_numbers_and_days_are_written_as_readers_write_them(
    tag: str, number: str, day: str
) -> None:
    """Decimal mark, thousands and the order of a day are the language's own."""
    assert say_value("count", 1234567.0, tag) == number
    assert plain(say_value("film_m", 1.25, tag)) == ("1.25 m" if tag == "en" else "1,25 m")
    assert say_value("valid_until", "2026-12-03", tag) == day
    assert say_value("valid_until", "some day", tag) == "some day"
    assert say_value("moisture_frac", None, tag) == tongue(tag).messages["word.unknown"]


@pytest.mark.own
@pytest.mark.parametrize("code", TRANSLATED)
def test_a_catalogue_says_whether_a_native_speaker_has_read_it(code: str) -> None:
    """The header says it in so many words, and the language says the same."""
    head = header_of(read_po(catalogue_text(code)))
    assert head["Language"] == code
    assert head["X-Reviewed-By-Native-Speaker"] in ("yes", "no")
    assert tongue(code).reviewed == (head["X-Reviewed-By-Native-Speaker"] == "yes")


@pytest.mark.own
@pytest.mark.parametrize("code", TRANSLATED)
def test_a_catalogue_is_as_the_script_writes_it(code: str) -> None:
    """Renewing a catalogue that is up to date changes nothing, so that a change shows alone."""
    english = {key: messages()[key] for key in sheet_keys()}
    text = catalogue_text(code)
    assert written(renewed(read_po(text), english)) == text


@pytest.mark.own
def test_a_changed_english_message_takes_its_translation_out_of_use() -> None:
    """What was translated from other words is kept for the translator and shown to nobody."""
    old = [
        PoEntry("", "", "Language: de\n"),
        PoEntry("a", "One", "Eins"),
        PoEntry("b", "Two", "Zwei"),
    ]
    found = {
        entry.key: entry for entry in renewed(old, {"a": "One", "b": "Two or three", "c": "New"})
    }
    assert found["a"] == old[1]
    assert found["b"] == PoEntry("b", "Two or three", "Zwei", fuzzy=True)
    assert found["c"] == PoEntry("c", "New", "")
    assert set(found) == {"", "a", "b", "c"}


@pytest.mark.own
def test_a_fixed_quantity_is_read_in_the_readers_units() -> None:
    """A limit that stands in a sentence, such as 71 °C, is not left in a unit nobody there uses."""
    hot = because("caution.hot_hay", moisture_frac=0.24)
    assert "66 °C every two hours, from 71 °C" in plain(say(hot))
    assert "160 °F call the fire service" in plain(say(hot, "en-u-ms-ussystem"))
    for code in TRANSLATED:
        assert "71 °C" in plain(say(hot, code))


@pytest.mark.published
@pytest.mark.parametrize("code", LANGUAGES)
def test_the_first_word_on_a_terminal_is_whole(code: str) -> None:
    """ISO 11783-10 cuts a text at 32 signs; the caution that stands first is no longer."""
    assert len(tongue(code).messages["task.first"]) <= 32


@pytest.mark.own
def test_catalogues_are_part_of_the_package() -> None:
    """They lie inside the package's folder, so that a wheel holds them."""
    folder = Path(__file__).parents[2] / "src" / "balewright" / "words" / "catalogues"
    found = sorted(file.parts[-3] for file in folder.rglob("*.po"))
    assert found == sorted(TRANSLATED)
