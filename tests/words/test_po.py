"""The text form of catalogues."""

from __future__ import annotations

import gettext
import shutil
import subprocess
from io import BytesIO
from pathlib import Path

import pytest

from balewright.words.languages import LANGUAGES, SOURCE, catalogue_text
from balewright.words.po import BrokenCatalogue, PoEntry, compile_po, header_of, read_po

TRANSLATED = [code for code in LANGUAGES if code != SOURCE]
SMALL = """
# a comment
msgid ""
msgstr ""
"Language: de\\n"
"X-Date: %d.%m.%Y\\n"

#, fuzzy
msgctxt "a.b"
msgid "Say \\"no\\""
msgstr ""
"Sag "
"\\"nein\\""

msgctxt "a.c"
msgid "Yes"
msgstr "Ja"
"""


@pytest.mark.derived
def test_entries_are_read_with_their_marks() -> None:
    """Context, source and text over several lines, quotes inside, and what is to be looked at."""
    head, first, second = read_po(SMALL)
    assert header_of((head, first, second)) == {"Language": "de", "X-Date": "%d.%m.%Y"}
    assert first == PoEntry("a.b", 'Say "no"', 'Sag "nein"', fuzzy=True)
    assert second == PoEntry("a.c", "Yes", "Ja")


@pytest.mark.own
def test_gettext_reads_what_is_compiled_and_not_what_is_fuzzy() -> None:
    """The standard library finds a text by its key and English; a fuzzy one counts as missing."""
    texts = gettext.GNUTranslations(BytesIO(compile_po(read_po(SMALL))))
    assert texts.pgettext("a.c", "Yes") == "Ja"
    assert texts.pgettext("a.b", 'Say "no"') == 'Say "no"'
    assert texts.pgettext("a.c", "Yes.") == "Yes."


@pytest.mark.own
@pytest.mark.parametrize(
    "broken",
    [
        'msgid "a"\n',
        'msgid a\nmsgstr "b"\n',
        'msgid "a"\nmsgid "b"\nmsgstr "c"\n',
        'msgid_plural "a"\n',
        'msgid "a"\nmsgstr f"{1}"\n',
        'msgctxt "k"\nmsgid "a"\nmsgstr "b"\n\nmsgctxt "k"\nmsgid "c"\nmsgstr "d"\n',
        "nonsense\n",
    ],
)
def test_a_broken_file_is_not_read_as_something_else(broken: str) -> None:
    """A slip in a catalogue is told with its place, never skipped."""
    with pytest.raises(BrokenCatalogue):
        read_po(broken)


@pytest.mark.reference
@pytest.mark.skipif(shutil.which("msgfmt") is None, reason="needs GNU gettext")
@pytest.mark.parametrize("code", TRANSLATED)
def test_the_gettext_tools_read_the_same(code: str, tmp_path: Path) -> None:
    """GNU msgfmt takes every catalogue, and the texts it compiles are the ones read here."""
    source, made = tmp_path / "c.po", tmp_path / "c.mo"
    source.write_text(catalogue_text(code), encoding="utf-8")
    subprocess.run(["msgfmt", "-c", "-o", made, source], check=True, capture_output=True)
    with made.open("rb") as file:
        theirs = gettext.GNUTranslations(file)
    ours = gettext.GNUTranslations(BytesIO(compile_po(read_po(catalogue_text(code)))))
    entries = read_po(catalogue_text(code))
    assert len(entries) > 200
    for entry in entries:
        if entry.key:
            said = theirs.pgettext(entry.key, entry.source)
            assert said == ours.pgettext(entry.key, entry.source)
    assert theirs.info() == ours.info()
