"""Languages a sheet is read in: each one's messages, plural forms and ways of writing numbers."""

from __future__ import annotations

import gettext
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files
from io import BytesIO
from types import MappingProxyType
from typing import Final

from balewright.quantities.errors import BadInput, Fault
from balewright.words import english
from balewright.words.po import PoEntry, compile_po, header_of, read_po

SOURCE: Final = "en"
"""The language every message is written in first."""
LANGUAGES: Final = (SOURCE, "de", "fr", "pl")
_FLOOR: Final = "floor"


@dataclass(frozen=True)
class Tongue:
    """One language.

    code: ISO 639-1; own_name: as its readers call it; messages: by key, English where a message is
    not translated or its English has changed since; translated: keys that are; reviewed: whether
    a native speaker has read the catalogue; decimal_mark, group_mark, group_from: how numbers are
    written (a group mark is set from that many digits on); date: strftime's form of a day;
    fraction_form: plural form of 2.5, or `floor` where it is the form of 2.
    """

    code: str
    own_name: str
    messages: Mapping[str, str]
    translated: frozenset[str]
    reviewed: bool
    decimal_mark: str
    group_mark: str
    group_from: int
    date: str
    fraction_form: str
    plural_of: Callable[[int], int]

    def form(self, number: Decimal, forms: str) -> str:
        """Of `one|many` (as many forms as the language has) the one that goes with a number."""
        choices = forms.split("|")
        size = abs(number)
        if size == size.to_integral_value() or self.fraction_form == _FLOOR:
            at = self.plural_of(int(size))
        else:
            at = int(self.fraction_form)
        return choices[min(at, len(choices) - 1)]


def tongue(code: str) -> Tongue:
    """The language of a code; BadInput for one there is no catalogue of."""
    if code not in LANGUAGES:
        need = f"one of {', '.join(LANGUAGES)}"
        raise BadInput(Fault("language", need, repr(code)[:40], "Use one of them."))
    return _english() if code == SOURCE else _translated(code)


def catalogue_text(code: str) -> str:
    """The .po file of a language as it is shipped."""
    folder = files("balewright.words") / "catalogues" / code / "LC_MESSAGES"
    return (folder / "balewright.po").read_text(encoding="utf-8")


@cache
def _english() -> Tongue:
    messages = english.messages()
    return Tongue(
        code=SOURCE,
        own_name="English",
        messages=messages,
        translated=frozenset(messages),
        reviewed=True,
        decimal_mark=".",
        group_mark=",",
        group_from=4,
        date="%Y-%m-%d",
        fraction_form="1",
        plural_of=lambda number: int(number != 1),
    )


@cache
def _translated(code: str) -> Tongue:
    entries = read_po(catalogue_text(code))
    head = header_of(entries)
    texts = gettext.GNUTranslations(BytesIO(compile_po((*entries, _forms(head)))))
    known = {(entry.key, entry.source) for entry in entries if entry.text and not entry.fuzzy}
    source = english.messages()
    translated = frozenset(key for key, text in source.items() if (key, text) in known)
    messages = {
        key: texts.pgettext(key, text) if key in translated else text
        for key, text in source.items()
    }
    return Tongue(
        code=code,
        own_name=head["X-Own-Name"],
        messages=MappingProxyType(messages),
        translated=translated,
        reviewed=head["X-Reviewed-By-Native-Speaker"] == "yes",
        decimal_mark=head["X-Decimal-Mark"],
        group_mark=chr(int(head["X-Group-Mark"], 16)),
        group_from=int(head["X-Group-From"]),
        date=head["X-Date"],
        fraction_form=head["X-Fraction-Form"],
        plural_of=lambda number: int(texts.ngettext(*_FORM, number)),
    )


_FORM: Final = ("form", "forms")


def _forms(head: dict[str, str]) -> PoEntry:
    """An entry whose plural forms are their own numbers: gettext then tells which one a number
    takes, by the rule in the catalogue's header."""
    count = int(head["Plural-Forms"].partition("nplurals=")[2].partition(";")[0])
    return PoEntry("", "\0".join(_FORM), "\0".join(map(str, range(count))))
