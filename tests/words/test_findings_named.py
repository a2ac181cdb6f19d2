"""Whatever may be found has a name to stand above it."""

from __future__ import annotations

import pytest

from balewright.findings.finding import FindingKind
from balewright.findings.measures.book import EXPLAINS, measures_of
from balewright.findings.measures.measure import Group
from balewright.flows.find_profile import find_profile
from balewright.words.english import messages

pytestmark = pytest.mark.law

MAKES = ("mossgrinder-m2", "thistlewick-t1", "plainrow-p0")


def test_every_measure_kind_group_and_reason_to_adjust_has_words() -> None:
    """A new measure, kind, group or explaining value cannot reach the desk without a name."""
    known = messages()
    keys = {f"watched.{one.key}" for make in MAKES for one in measures_of(find_profile(make))}
    wanted = keys | {f"finding.kind.{kind.value}" for kind in FindingKind}
    wanted |= {f"watched.group.{group.value}" for group in Group}
    wanted |= {f"explains.{key}" for key in EXPLAINS}
    assert not wanted - set(known)
