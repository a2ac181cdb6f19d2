"""Say of a sheet that it worked, did not, or what was changed; signed in or by a link."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from balewright.flows.open_shared_sheet import find_link
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault
from balewright.store.entries import Change, FeedbackEntry, Outcome

TEXT_LENGTH: Final = 500
VALUE_LENGTH: Final = 40
MOST_CHANGES: Final = 12
MOST_BY_A_LINK: Final = 200
"""Answers that one link can leave; whoever has it can fill no disk with it."""
_MARK: Final = re.compile(r"[A-Za-z0-9_-]{8,64}")


@dataclass(frozen=True)
class Answer:
    """What is sent. mark: made where it was given, 8 to 64 letters, digits, - and _, so that one
    answer that is sent twice is one; outcome: a value of Outcome; changes: lines of the sheet
    with what was set instead; text: at most 500 characters.
    """

    mark: str
    outcome: str
    changes: tuple[Change, ...] = ()
    text: str = ""


def give_feedback(
    workplace: Workplace, sheet_id: str, answer: Answer, given_by: str | None
) -> bool:
    """Keep an answer of somebody who is signed in, or whose name is not known (None); False where
    it was kept before.

    Raises BadInput for an answer that cannot be kept and for a sheet that is not.
    """
    return workplace.register.add_feedback(_entry(workplace, sheet_id, answer, given_by))


def give_feedback_by_link(workplace: Workplace, token: str, answer: Answer) -> bool | None:
    """Keep an answer of whoever has the link; False where it was kept before, None alike where
    the link is unknown, over or withdrawn.

    Raises BadInput for an answer that cannot be kept, and once a link has left 200 of them.
    """
    link = find_link(workplace, token)
    if link is None:
        return None
    entry = _entry(workplace, link.sheet_id, answer, None)
    if workplace.register.count_feedback(link.id) >= MOST_BY_A_LINK:
        known = workplace.register.load_feedback(link.sheet_id)
        if any(kept.mark == entry.mark for kept in known):
            return False
        cure = "Ask whoever sent the link for a new one."
        given = f"{MOST_BY_A_LINK} already"
        raise BadInput(Fault("link", f"at most {MOST_BY_A_LINK} answers", given, cure))
    return workplace.register.add_feedback(entry, link.id)


def _entry(
    workplace: Workplace, sheet_id: str, answer: Answer, given_by: str | None
) -> FeedbackEntry:
    kept = workplace.register.load_sheet(sheet_id)
    if kept is None:
        cure = "Check the id; it stands on the machine's page."
        raise BadInput(Fault("sheet", "the id of a kept sheet", repr(sheet_id), cure))
    text = _plain(answer.text)
    changes = tuple(Change(one.line, _plain(one.value)) for one in answer.changes)
    lines = frozenset(line["key"] for line in kept.json["lines"])
    faults = tuple(_faults(answer, changes, text, lines))
    if faults:
        raise BadInput(*faults)
    return FeedbackEntry(
        sheet_id, answer.mark, Outcome(answer.outcome), workplace.clock(), changes, text, given_by
    )


def _faults(
    answer: Answer, changes: tuple[Change, ...], text: str, lines: frozenset[str]
) -> Iterator[Fault]:
    outcomes = [outcome.value for outcome in Outcome]
    if answer.outcome not in outcomes:
        need = f"one of {', '.join(outcomes)}"
        yield Fault("outcome", need, repr(answer.outcome[:40]), "Tap one of the answers.")
    if not _MARK.fullmatch(answer.mark):
        yield Fault("mark", "8 to 64 letters and digits", "another", "Load the page again.")
    if len(text) > TEXT_LENGTH:
        need = f"at most {TEXT_LENGTH} characters"
        yield Fault("text", need, str(len(text)), "Say it shorter.")
    if len(changes) > MOST_CHANGES:
        yield Fault("changes", f"at most {MOST_CHANGES}", str(len(changes)), "Send them in two.")
    for change in changes:
        if change.line not in lines:
            given = repr(change.line[:40])
            yield Fault("changes", "a setting of this sheet", given, "Pick one of the list.")
        elif not 1 <= len(change.value) <= VALUE_LENGTH:
            need = f"1 to {VALUE_LENGTH} characters"
            yield Fault("changes", need, str(len(change.value)), "Say what was set instead.")
    if answer.outcome == Outcome.CHANGED and not changes and not text:
        cure = "Pick a setting and say what was set instead."
        yield Fault("changes", "what was changed", "nothing", cure)


def _plain(text: str) -> str:
    """Without control signs and invisible direction marks; lines stay lines."""
    kept = (
        sign
        for sign in text
        if sign == "\n" or unicodedata.category(sign) not in {"Cc", "Cf", "Cs"}
    )
    return "".join(kept).strip()
