"""Bring the catalogues up to the English messages: `python tests/words/renew_catalogues.py`.

A new message comes in empty; one whose English has changed keeps its text, marked `fuzzy` (it is
not used until someone has looked at it and taken the mark away); one that is gone goes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from balewright.words.english import messages
from balewright.words.languages import LANGUAGES, SOURCE, catalogue_text
from balewright.words.po import PoEntry, read_po
from balewright.words.sheet_keys import sheet_keys

FOLDER = Path(__file__).parents[2] / "src" / "balewright" / "words" / "catalogues"
HEAD = """\
# What a reader of a setup sheet sees, in one language. msgctxt: key of the message; msgid: its
# English, which is the source; words in braces are values and stay as they are, apart from the
# forms after a colon ({bales:bale|bales}), which follow the language's own plural rule.
"""


def renewed(old: Iterable[PoEntry], english: Mapping[str, str]) -> list[PoEntry]:
    """The entries for these messages, with what is known of them."""
    known = {entry.key: entry for entry in old}
    entries = [known[""]]
    for key in sorted(english):
        before = known.get(key, PoEntry(key, english[key], ""))
        changed = bool(before.text) and before.source != english[key]
        entries.append(PoEntry(key, english[key], before.text, before.fuzzy or changed))
    return entries


def written(entries: Iterable[PoEntry]) -> str:
    """The entries as a .po file."""
    return HEAD + "\n".join(map(_written, entries))


def _written(entry: PoEntry) -> str:
    rows = ["#, fuzzy, python-brace-format"] if entry.fuzzy else []
    if entry.key:
        rows.append(f'msgctxt "{_quoted(entry.key)}"')
    rows.append(f'msgid "{_quoted(entry.source)}"')
    if not entry.key:
        rows.append('msgstr ""')
        rows += [f'"{_quoted(line)}\\n"' for line in entry.text.splitlines()]
    else:
        rows.append(f'msgstr "{_quoted(entry.text)}"')
    return "\n".join(rows) + "\n"


def _quoted(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")


def main() -> None:
    """Rewrite every catalogue."""
    english = {key: messages()[key] for key in sheet_keys()}
    for code in LANGUAGES:
        if code != SOURCE:
            file = FOLDER / code / "LC_MESSAGES" / "balewright.po"
            entries = renewed(read_po(catalogue_text(code)), english)
            file.write_text(written(entries), encoding="utf-8")


if __name__ == "__main__":
    main()
