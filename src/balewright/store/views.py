"""Views of buckets from the register: files, generation and corrections that belong together."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from balewright.records.corrections import Correction
from balewright.store.bucket_view import BucketView
from balewright.store.entries import Compacted, Dataset, Part
from balewright.store.intake_files import bucket_of

if TYPE_CHECKING:
    from balewright.store.register import Register


def load_views(
    root: Path, register: Register, bucket: int | None = None, machine: str | None = None
) -> tuple[BucketView, ...]:
    """What counts now in each bucket that has files, or in one; of it one machine, None for all."""
    parts, compacted = _load_agreeing(register, bucket)
    # Corrections only become more: reading them last never misses one that the files hold.
    corrections: dict[int, list[tuple[int, Correction]]] = {}
    for number, one in register.load_numbered_corrections(machine):
        corrections.setdefault(bucket_of(one.machine), []).append((number, one))
    by_bucket: dict[int, list[Part]] = {}
    for part in parts:
        by_bucket.setdefault(part.bucket, []).append(part)
    return tuple(
        BucketView(
            root,
            at,
            tuple(by_bucket[at]),
            compacted[at].correction if at in compacted else 0,
            tuple(corrections.get(at, ())),
            machine,
        )
        for at in sorted(by_bucket)
    )


def _load_agreeing(
    register: Register, bucket: int | None
) -> tuple[tuple[Part, ...], dict[int, Compacted]]:
    """Files and generations of one moment: they are two tables, so look until they agree."""
    while True:
        before = register.load_compacted(bucket)
        parts = register.load_every_part(bucket)
        after = register.load_compacted(bucket)
        if all(_generation(before, at) == _generation(after, at) for at in {*before, *after}):
            return parts, _lowest(before, after)


def _generation(lines: dict[int, Compacted], bucket: int) -> int:
    return lines[bucket].generation if bucket in lines else 0


def _lowest(one: dict[int, Compacted], other: dict[int, Compacted]) -> dict[int, Compacted]:
    """A line may say in between that it covers less: then the lower number holds."""
    return {at: min(one[at], other[at], key=lambda line: line.correction) for at in one}


def has_tail(parts: tuple[Part, ...]) -> bool:
    """Whether rows were taken in that no generation holds yet."""
    raw = (Dataset.BALES, Dataset.EVENTS)
    return any(part.generation == 0 for part in parts if part.dataset in raw)
