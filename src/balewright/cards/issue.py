"""What makes a sheet this one copy: its id, until when it holds, where it opens."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final
from urllib.parse import urlsplit

from balewright.cards.sheet_json import sheet_to_json
from balewright.plan.sheet.sheet import Sheet
from balewright.quantities.errors import BadInput, Fault
from balewright.quantities.reason import because
from balewright.words.say import say

VALID_DAYS: Final = 7
"""How long a printed or saved sheet says it holds: common practice, no source. A crop wilts
and a machine gets new software; after a week the sheet is made again in a minute."""
_LONGEST_LINK: Final = 300
"""A longer link makes a code too fine to be read off a card."""


@dataclass(frozen=True)
class Issue:
    """sheet_id: of the sheet; valid_until: the last day on which it is to be used; link: where it
    opens (http or https, at most 300 characters). None for what is not known.

    Raises BadInput for a link that no phone would open.
    """

    sheet_id: str | None = None
    valid_until: date | None = None
    link: str | None = None

    def __post_init__(self) -> None:
        if self.link is None:
            return
        parts = urlsplit(self.link)
        plain = self.link.isascii() and self.link.isprintable() and " " not in self.link
        if parts.scheme not in ("http", "https") or not parts.netloc or not plain:
            cure = "Give the whole address, as in https://desk.example/s/..."
            raise BadInput(Fault("link", "an http or https address", repr(self.link)[:80], cure))
        if len(self.link) > _LONGEST_LINK:
            given = f"{len(self.link)} characters"
            raise BadInput(
                Fault("link", f"at most {_LONGEST_LINK} characters", given, "Use a shorter one.")
            )


NO_ISSUE: Final = Issue()


def sheet_id(sheet: Sheet) -> str:
    """The id of a sheet by what stands on it: the same sheet has the same id everywhere."""
    text = json.dumps(sheet_to_json(sheet), sort_keys=True, ensure_ascii=False, allow_nan=False)
    return "S-" + hashlib.sha256(text.encode()).hexdigest()[:12]


def issue_of(sheet: Sheet, made_on: date, link: str | None = None) -> Issue:
    """The usual issue: the sheet's own id, valid for VALID_DAYS from the day it was made."""
    return Issue(sheet_id(sheet), made_on + timedelta(days=VALID_DAYS), link)


def issue_words(issue: Issue, language: str = "en") -> tuple[str, ...]:
    """What stands on a copy: until when it holds, then its id; nothing where not known."""
    said = []
    if issue.valid_until is not None:
        day = issue.valid_until.isoformat()
        said.append(say(because("card.valid_until", valid_until=day), language))
    if issue.sheet_id is not None:
        said.append(say(because("card.sheet_id", sheet_id=issue.sheet_id), language))
    return tuple(said)
