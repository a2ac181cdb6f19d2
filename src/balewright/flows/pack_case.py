"""The pack of a case for a phone: what to look at next, also where there is no signal."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Final

from balewright.cause.case.case import Case
from balewright.cause.case.evidence import evidence_of
from balewright.cause.case.pack import MOST_PACK_BYTES, Packed, cautions_in, pack_of
from balewright.cause.next_check.tree import MOST_NODES, Tree, tree
from balewright.flows.ask_causes import Troubled, look_at_machine
from balewright.flows.likeliest_cause import in_vain
from balewright.flows.read_case_of import read_case_of
from balewright.flows.service_costs import service_costs
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput, Fault, NotAnswerable
from balewright.quantities.reason import Reason
from balewright.words.reader import reader_of
from balewright.words.review import english_beside
from balewright.words.say import say

_NO_CAUTION: Final = "caution.none"
_FEWER: Final = (MOST_NODES, 40, 25, 15, 8, 4)
"""Questions of a tree, fewer where all their words do not fit."""


def pack_case(workplace: Workplace, case: str, language: str = "en") -> dict[str, Any]:
    """The pack of a case as JSON has it, at most MOST_PACK_BYTES of it.

    language: a tag of `words/reader`. Raises BadInput for a case nobody knows and one whose
    machine is not known here (yet).
    """
    kept = read_case_of(workplace, case)
    if kept.case.machine is None:
        cure = "Take in the entries of whoever opened it."
        raise BadInput(Fault("case", "an opened case", "one without its opening", cure))
    at = look_at_machine(workplace, kept.case.machine)
    seen = {**at.from_records, **evidence_of(kept.case)}
    known = {key: one for key, one in seen.items() if key in at.network.observation_by_key}
    for most in _FEWER:
        grown = _grow(workplace, at, known, kept.case, most)
        packed = Packed(kept.case, at.network, known, grown, reader_of(language).language)
        pack = pack_of(packed) | {"name": kept.name}
        pack["cautions"] = _cautions(pack, language)
        if len(json.dumps(pack, ensure_ascii=False).encode()) <= MOST_PACK_BYTES:
            break
    return pack


def _grow(
    workplace: Workplace, at: Troubled, known: Mapping[str, Any], case: Case, most: int
) -> Tree | None:
    """The tree; none where what is known has no exact answer: the page then says so."""
    with suppress(NotAnswerable):
        exposure = {**at.exposure, **in_vain(case)}
        return tree(at.network, known, service_costs(workplace), exposure, most)
    return None


def _cautions(pack: Mapping[str, Any], language: str) -> dict[str, list[str]]:
    """What each caution says, with the English beside a translation that nobody reviewed."""
    found = {}
    for key in cautions_in(pack):
        if key == _NO_CAUTION:
            continue
        reason = Reason(key)
        found[key] = [say(reason, language), *english_beside([reason], language)]
    return found
