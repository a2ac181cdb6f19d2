"""Values out of the bytes of many messages at once, and where they are not known.

A sender that has no value says so in the value's place: `not available` and `error` have their
own patterns, by SAE J1939-71 / ISO 11783-7 for unsigned fields, by NMEA 2000 for signed ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray


class Markers(StrEnum):
    """Which patterns mean that there is no value.

    RANGES: of the most significant byte 0xFF not available, 0xFE error, 0xFB to 0xFD no value;
    ONES: all ones not available, one less error; SIGNED: the largest positive number not
    available, one less error, two less no value; NONE: every pattern is a value.
    """

    RANGES = "ranges"
    ONES = "ones"
    SIGNED = "signed"
    NONE = "none"


def usual_markers(bits: int, signed: bool, is_float: bool = False) -> Markers:
    """What the standards say for a field of so many bits, 1 to 64."""
    if is_float or bits == 1:
        return Markers.NONE
    if signed:
        return Markers.SIGNED if bits >= 8 else Markers.NONE
    return Markers.RANGES if bits in (8, 16, 24, 32) else Markers.ONES


@dataclass(frozen=True)
class Field:
    """Where a value stands: the first byte, how many bytes it touches (at most 8), by how many
    bits the number made of them is shifted to the right, its bits; value = raw x factor + offset.
    """

    byte: int
    span: int
    shift: int
    bits: int
    factor: float = 1.0
    offset: float = 0.0
    big_endian: bool = False
    signed: bool = False
    is_float: bool = False
    markers: Markers = Markers.NONE


def little(bit: int, bits: int, factor: float = 1.0, offset: float = 0.0) -> Field:
    """An unsigned field, least significant byte first, from bit `bit`, with the usual markers."""
    byte = bit // 8
    span = (bit + bits - 1) // 8 - byte + 1
    return Field(byte, span, bit % 8, bits, factor, offset, markers=usual_markers(bits, False))


def big(start: int, bits: int, factor: float = 1.0, offset: float = 0.0) -> Field:
    """An unsigned field, most significant byte first; start: number of its highest bit as in a
    DBC (bit 7 is the highest of byte 0)."""
    byte, top = start // 8, start % 8
    last = 8 * byte + (7 - top) + bits - 1
    span = last // 8 - byte + 1
    usual = usual_markers(bits, False)
    return Field(byte, span, 7 - last % 8, bits, factor, offset, big_endian=True, markers=usual)


@dataclass(frozen=True, eq=False)
class Values:
    """values: (n,) float64; known: (n,) False where the sender has none; error: (n,) True where
    it said that it cannot."""

    values: NDArray[np.float64]
    known: NDArray[np.bool_]
    error: NDArray[np.bool_]


def raws(field: Field, data: NDArray[np.uint8]) -> NDArray[np.uint64]:
    """The bits of a field in each message, as they stand. data: (n, bytes) uint8, wide enough."""
    total = np.zeros(len(data), np.uint64)
    order = range(field.span) if field.big_endian else range(field.span - 1, -1, -1)
    for at in order:
        total = (total << np.uint64(8)) | data[:, field.byte + at]
    total >>= np.uint64(field.shift)
    return total & np.uint64((1 << field.bits) - 1)


def take_values(field: Field, data: NDArray[np.uint8], length: NDArray[np.uint8]) -> Values:
    """The values of a field in many messages.

    data: (n, bytes) uint8; length: (n,) bytes that were sent. A message too short to hold the
    field has no value.
    """
    end = field.byte + field.span
    if end > data.shape[1]:
        nothing = np.zeros(len(data), np.bool_)
        return Values(np.zeros(len(data)), nothing, nothing)
    raw = raws(field, data)
    there = length >= end
    if field.is_float:
        kind = (np.uint32, np.float32) if field.bits == 32 else (np.uint64, np.float64)
        plain = raw.astype(kind[0]).view(kind[1]).astype(np.float64)
        known = there & np.isfinite(plain)
        worth = np.where(known, plain, 0.0) * field.factor + field.offset
        return Values(worth, known, np.zeros(len(data), np.bool_))
    unknown, error = _marked(field, raw)
    worth = _numbers(field, raw) * field.factor + field.offset
    known = there & ~unknown
    return Values(np.where(known, worth, 0.0), known, there & error)


def _numbers(field: Field, raw: NDArray[np.uint64]) -> NDArray[np.float64]:
    if not field.signed:
        return raw.astype(np.float64)
    up = np.uint64(64 - field.bits)
    return ((raw << up).view(np.int64) >> up.astype(np.int64)).astype(np.float64)


def _marked(field: Field, raw: NDArray[np.uint64]) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Where there is no value, and where an error is the reason."""
    ones = (1 << field.bits) - 1
    if field.markers is Markers.RANGES:
        top = raw >> np.uint64(field.bits - 8)
        return top >= 0xFB, top == 0xFE
    if field.markers is Markers.ONES:
        return raw >= np.uint64(ones - 1), raw == np.uint64(ones - 1)
    if field.markers is Markers.SIGNED:
        most = ones >> 1
        unknown = (raw >= np.uint64(most - 2)) & (raw <= np.uint64(most))
        return unknown, raw == np.uint64(most - 1)
    return np.zeros(len(raw), np.bool_), np.zeros(len(raw), np.bool_)
