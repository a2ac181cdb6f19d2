"""The journal and the originals against the manifest and the ledger."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.quantities.errors import BadInput
from balewright.store.arrow import JOURNAL_VERSION, read_part
from balewright.store.entries import Dataset, IntakeState, Part
from balewright.store.health.lines import HealthLine, HealthState, good, wrong
from balewright.store.journal import Journal

if TYPE_CHECKING:
    from balewright.store.register import Register

MANY_TAILS: Final = 32
"""Files of one bucket that nobody merged: more make every question slow."""

_CHUNK: Final = 1 << 20
Tell = Callable[[int, int | None], None]


def look_at_parts(journal: Journal, deep: bool, tell: Tell) -> tuple[HealthLine, ...]:
    """Every file the manifest lists: there, of its size; `deep` also its hash and rows."""
    parts = [part for dataset in Dataset for part in journal.register.load_parts(dataset)]
    missing = [part for part in parts if not (journal.root / part.path).is_file()]
    here = [part for part in parts if part not in missing]
    damaged = [part for part in here if _size(journal.root / part.path) != part.size_bytes]
    if deep:
        whole = [part for part in here if part not in damaged]
        damaged += _look_deep(journal.root, whole, tell)
    lines = []
    for what, found in (("missing", missing), ("damaged", damaged)):
        if found:
            values = {"count": len(found), "rows": sum(part.rows for part in found)}
            names = ", ".join(part.path for part in found[:3])
            lines.append(wrong("parts", HealthState.BROKEN, what, names=names, **values))
    if not lines:
        rows = sum(part.rows for part in parts if part.dataset is Dataset.BALES)
        lines.append(good("parts", count=len(parts), rows=rows))
    return (*lines, _look_at_versions(parts), _look_at_tails(parts))


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError:
        return -1


def _look_deep(root: Path, parts: Sequence[Part], tell: Tell) -> list[Part]:
    damaged = []
    for done, part in enumerate(parts):
        tell(done, len(parts))
        if _sha256(root / part.path) != part.sha256 or _rows(root, part) != part.rows:
            damaged.append(part)
    tell(len(parts), len(parts))
    return damaged


def _sha256(path: Path) -> str:
    hashed = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK):
                hashed.update(chunk)
    except OSError:
        return ""
    return hashed.hexdigest()


def _rows(root: Path, part: Part) -> int:
    try:
        return int(read_part(root / part.path, part.dataset).num_rows)
    except BadInput:
        return -1


def _look_at_versions(parts: Sequence[Part]) -> HealthLine:
    old = [part for part in parts if part.schema_version < JOURNAL_VERSION]
    if old:
        return wrong("versions", HealthState.LOOK, "old", count=len(old))
    return good("versions", version=JOURNAL_VERSION)


def _look_at_tails(parts: Sequence[Part]) -> HealthLine:
    fresh = Counter(
        part.bucket for part in parts if part.dataset is Dataset.BALES and part.generation == 0
    )
    most = max(fresh.values(), default=0)
    if most > MANY_TAILS:
        return wrong("tails", HealthState.LOOK, "many", count=sum(fresh.values()), most=most)
    return good("tails", count=sum(fresh.values()))


def look_at_originals(folder: Path, register: Register) -> HealthLine:
    """Contents that were taken in and whose original is not there, though no rule let it go."""
    gone = register.load_originals_gone()
    taken = [
        entry
        for entry in register.load_intakes()
        if entry.state is IntakeState.TAKEN and entry.sha256 not in gone
    ]
    lost = [entry for entry in taken if not (folder / entry.sha256).is_dir()]
    if lost:
        names = ", ".join(entry.name for entry in lost[:3])
        return wrong("originals", HealthState.LOOK, "lost", count=len(lost), names=names)
    return good("originals", count=len(taken), gone=len(gone))
