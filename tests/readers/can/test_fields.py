"""Values out of bytes, held against cantools, and the patterns that mean none."""

from __future__ import annotations

import cantools
import numpy as np
import pytest
from cantools.database.can import Message, Signal
from cantools.database.conversion import BaseConversion
from hypothesis import given
from hypothesis import strategies as st

from balewright.readers.can.fields import (
    Field,
    Markers,
    big,
    little,
    take_values,
    usual_markers,
)


def one(field: Field, data: bytes) -> tuple[float, bool, bool]:
    """Value, known, error of a field in one message."""
    table = np.frombuffer(data.ljust(8, b"\0"), np.uint8).reshape(1, -1)
    found = take_values(field, table, np.array([len(data)], np.uint8))
    return float(found.values[0]), bool(found.known[0]), bool(found.error[0])


@st.composite
def laid(draw: st.DrawFn) -> tuple[Signal, Field]:
    """A signal as cantools has it, and the same as ours, of any place, order and sign."""
    bits = draw(st.integers(1, 32))
    signed = draw(st.booleans()) and bits > 1
    factor, offset = draw(st.sampled_from([(1, 0), (0.125, 0), (0.001, -40), (2, 7)]))
    at = draw(st.integers(0, 64 - bits))
    intel = draw(st.booleans())
    # A Motorola signal is named by its highest bit, numbered within its byte from the right.
    start = at if intel else 8 * (at // 8) + 7 - at % 8
    signal = Signal(
        "S",
        start,
        bits,
        byte_order="little_endian" if intel else "big_endian",
        is_signed=signed,
        conversion=BaseConversion.factory(scale=factor, offset=offset),
    )
    make = little if intel else big
    base = make(start, bits, factor, offset)
    return signal, Field(**{**vars(base), "signed": signed, "markers": Markers.NONE})


@pytest.mark.reference
@given(laid=laid(), data=st.binary(min_size=8, max_size=8))
@pytest.mark.check(model="fields of messages", source="cantools")
def test_any_field_has_the_value_that_cantools_gives(
    laid: tuple[Signal, Field], data: bytes
) -> None:
    """Both byte orders, signed and unsigned, at every bit: the value of cantools 45."""
    signal, field = laid
    message = Message(1, "M", 8, [signal])
    wanted = message.decode(data, decode_choices=False)["S"]
    value, known, _ = one(field, data)
    assert known
    assert value == pytest.approx(wanted, rel=1e-12, abs=1e-9)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("bits", "raw", "known", "error"),
    [
        # SAE J1939-71, table of ranges, from memory:
        # valid to FA, FB to FD no values, FE error, FF not available
        *((8, 0xFA, True, False), (8, 0xFB, False, False), (8, 0xFE, False, True)),
        *((8, 0xFF, False, False), (16, 0xFAFF, True, False), (16, 0xFB00, False, False)),
        *((16, 0xFE00, False, True), (16, 0xFEFF, False, True), (16, 0xFF00, False, False)),
        *((32, 0xFAFFFFFF, True, False), (32, 0xFE000000, False, True)),
        # two bits of a switch: 10 error, 11 not available
        *((2, 0b01, True, False), (2, 0b10, False, True), (2, 0b11, False, False)),
        *((4, 0xD, True, False), (4, 0xE, False, True), (4, 0xF, False, False)),
        *((1, 1, True, False), (12, 0xFFE, False, True), (12, 0xFFD, True, False)),
    ],
)
@pytest.mark.check(model="fields of messages", source="j1939-71-ranges")
def test_unsigned_fields_mark_what_is_not_known(
    bits: int, raw: int, known: bool, error: bool
) -> None:
    """Not available and error by the length of the field; both are unknown, one is an error."""
    _, is_known, is_error = one(little(0, bits), raw.to_bytes(8, "little"))
    assert (is_known, is_error) == (known, error)


@pytest.mark.practice
@pytest.mark.parametrize(
    ("raw", "known", "error"),
    [(0x7FFFFFFF, False, False), (0x7FFFFFFE, False, True), (0x7FFFFFFC, True, False),
     (0xFFFFFFFF, True, False), (0x80000000, True, False)],
)  # fmt: skip
def test_signed_fields_mark_at_their_positive_end(raw: int, known: bool, error: bool) -> None:
    """NMEA 2000, from memory: the largest positive number is not available, one less an error;
    -1 is a value."""
    field = Field(0, 4, 0, 32, 1e-7, signed=True, markers=usual_markers(32, True))
    _, is_known, is_error = one(field, raw.to_bytes(8, "little"))
    assert (is_known, is_error) == (known, error)


@pytest.mark.derived
def test_a_message_too_short_has_no_value() -> None:
    """Bytes that were not sent are not zeros."""
    assert one(little(8, 16), b"\x01\x02\x03") == (0x0302, True, False)
    assert one(little(8, 16), b"\x01\x02")[1] is False


@pytest.mark.real_data
@pytest.mark.reference
def test_standard_messages_stand_where_a_dbc_has_them(data_dir: object) -> None:
    """Speed over ground and by wheel, rear PTO and position: cantools with the published layout
    gives the same values from the same bytes."""
    from pathlib import Path

    from balewright.readers.can.standard import STANDARD

    database = cantools.database.load_file(Path(str(data_dir)) / "can" / "isobus-tecu.dbc")
    names = {
        65097: ["GroundBasedMachineSpeed"],
        65096: ["WheelBasedMachineSpeed"],
        65091: ["RearPTOShaftSpeed"],
        129025: ["Latitude", "Longitude"],
    }
    data = bytes.fromhex("d204e70312345678")
    for pgn, wanted in names.items():
        message = next(m for m in database.messages if (m.frame_id >> 8) & 0x3FFFF == pgn)
        decoded = message.decode(data, decode_choices=False)
        ours = [one(entry.field, data)[0] for entry in STANDARD if entry.pgn == pgn]
        assert ours == pytest.approx([decoded[name] for name in wanted], rel=1e-12)
