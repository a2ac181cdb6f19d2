"""Damaged and hostile traces: an answer or a typed refusal, never another error, within bounds."""

from __future__ import annotations

import random
import tracemalloc
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.can.days import two_bales_day
from tests.readers.can.making import T0, WRITERS

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.trace import open_trace
from balewright.readers.profile import shipped_profiles
from balewright.readers.reading import Reading

READING = Reading(
    machine="M2-1", profile=shipped_profiles()["mossgrinder-m2"], begins_us=round(T0 * 1e6)
)


@pytest.fixture(scope="module")
def seeds(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, bytes]:
    """A short day in every form."""
    folder, day = tmp_path_factory.mktemp("seeds"), two_bales_day(10.0)
    return {form: day.write(folder, form).read_bytes() for form in WRITERS}


def spoiled(content: bytes, chance: random.Random) -> bytes:
    """Cut, changed, lengthened and shortened at a few places, often in the head."""
    made = bytearray(content)
    if chance.random() < 0.2:
        del made[chance.randrange(len(made)) :]
    within = 600 if chance.random() < 0.5 else len(made)
    for _ in range(chance.choice([1, 3, 20])):
        at = chance.randrange(max(1, min(within, len(made))))
        kind = chance.randrange(4)
        if kind == 0:
            made[at : at + 1] = chance.randbytes(1)
        elif kind == 1:
            del made[at : at + chance.randrange(1, 40)]
        elif kind == 2:
            made[at:at] = chance.randbytes(chance.randrange(1, 40))
        else:
            made[at : at + 8] = chance.choice([b"\xff" * 8, bytes(8), b"9" * 8])
    return bytes(made)


@pytest.mark.law
@settings(max_examples=60)
@given(form=st.sampled_from(sorted(WRITERS)), seed=st.integers(0, 2**32))
def test_spoiled_trace_is_read_or_refused(
    seeds: Mapping[str, bytes], form: str, seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever happened to a file: a trace with its refusals, or BadInput with a cure."""
    path = tmp_path_factory.mktemp("spoiled") / f"x.{form}"
    path.write_bytes(spoiled(seeds[form], random.Random(seed)))
    faults: tuple[Fault, ...] = ()
    try:
        trace = open_trace(path, READING)
    except BadInput as error:
        faults = error.faults
    else:
        assert trace.frames >= sum(node.frames for node in trace.nodes)
        assert trace.refused_total >= len(trace.refusals)
    assert all(fault.cure for fault in faults)


@pytest.mark.derived
@pytest.mark.parametrize(
    "content", [b"\x00" * 4096, bytes(range(256)) * 16, b"LOGG", b"", b"\n" * 9]
)
def test_what_is_no_trace_is_refused_as_such(content: bytes, tmp_path: Path) -> None:
    """Binary junk, an empty file and a bare magic word are named for what they are not."""
    path = tmp_path / "x.log"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=r"x\.log: needs"):
        open_trace(path)


@pytest.mark.law
def test_memory_does_not_grow_with_what_is_not_kept(tmp_path: Path) -> None:
    """Three times the frames without a signal take no more memory; lines that are no frames are
    all counted, and a thousand held."""
    peaks = []
    for times in (2, 5):
        path = tmp_path / f"{times}.log"
        line = "(1938763800.000000) can0 1CFF0055#0011223344556677\n"
        path.write_text(line * (65_000 * times) + "junk\n" * (1_000 * times))
        tracemalloc.start()
        trace = open_trace(path)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert (trace.frames, trace.refused_total) == (65_000 * times, 1_000 * times)
        assert len(trace.refusals) == 1000
    assert peaks[1] < 1.2 * peaks[0]
