"""A machine's own signals: a DBC says where they stand on the bus, a small TOML which of ours
each of them is."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import cantools
from cantools.database.can import Database, Message, Signal

from balewright.quantities.errors import BadInput, Fault
from balewright.readers.can.fields import Field, Markers, big, little, usual_markers
from balewright.readers.lines import require_file
from balewright.records.signals import SIGNAL_BY_NAME, Shape

MOST_BYTES: Final = 4 << 20
MAKES: Final = Path(__file__).parent.parent / "makes" / "signals"
ANY_SOURCE: Final = 0xFE
"""The sender of a message in a DBC that stands for every sender."""

_KEYS: Final = {"message", "signal", "factor", "offset", "on", "markers"}
_CURE: Final = "Correct the signal book."


@dataclass(frozen=True)
class OwnSignal:
    """One signal of ours in a machine's message. on: raw values that mean on, None for no
    switch; chooser: field of a multiplexed message and its values under which this stands."""

    name: str
    field: Field
    what: str
    on: tuple[float, ...] | None = None
    chooser: tuple[Field, tuple[int, ...]] | None = None


@dataclass(frozen=True)
class OwnMessage:
    """A message of the book. pgn: its group, None where it is told by its whole identifier;
    identifier, extended: as in the DBC; source: its only sender, None for any."""

    pgn: int | None
    identifier: int
    extended: bool
    source: int | None
    signals: tuple[OwnSignal, ...]


@dataclass(frozen=True)
class SignalBook:
    """name: of its file; messages: those with a signal of ours."""

    name: str
    messages: tuple[OwnMessage, ...]


def shipped_book(profile_key: str) -> Path | None:
    """The signal book beside a shipped profile; None where the make has none."""
    path = MAKES / f"{profile_key.replace('-', '_')}.toml"
    return path if path.is_file() else None


def read_signal_book(path: Path) -> SignalBook:
    """A signal book: a TOML file whose `dbc` names the DBC beside it.

    path: the TOML. Raises BadInput with every fault of it.
    """
    given = _read_toml(path)
    faults: list[Fault] = []
    for key in sorted(given.keys() - {"version", "machine", "dbc", "signals"}):
        faults.append(_fault(path, key, "one of version, machine, dbc, signals", "another key"))
    if given.get("version") != 1:
        faults.append(_fault(path, "version", "1", repr(given.get("version"))))
    dbc, signals = given.get("dbc"), given.get("signals")
    if not isinstance(dbc, str) or Path(dbc).name != dbc or not dbc:
        faults.append(_fault(path, "dbc", "the name of a file beside this one", repr(dbc)))
    if not isinstance(signals, dict) or not signals:
        faults.append(_fault(path, "signals", "a table for each signal", repr(signals)[:40]))
    if faults:
        raise BadInput(*faults)
    assert isinstance(dbc, str)
    assert isinstance(signals, dict)
    database = _read_dbc(path.parent / dbc)
    by_message: dict[str, list[OwnSignal]] = {}
    for name, entry in signals.items():
        found = _own_signal(path, name, entry, database, faults)
        if found is not None:
            by_message.setdefault(found[0].name, []).append(found[1])
    if faults:
        raise BadInput(*faults)
    messages = tuple(
        _own_message(database.get_message_by_name(name), tuple(own))
        for name, own in by_message.items()
    )
    return SignalBook(path.name, messages)


def _own_message(message: Message, signals: tuple[OwnSignal, ...]) -> OwnMessage:
    identifier = message.frame_id
    if message.is_extended_frame and message.protocol == "j1939":
        group, source = (identifier >> 8) & 0x3FFFF, identifier & 0xFF
        pgn = group & 0x3FF00 if (group >> 8) & 0xFF < 240 else group
        return OwnMessage(pgn, identifier, True, None if source == ANY_SOURCE else source, signals)
    return OwnMessage(None, identifier, message.is_extended_frame, None, signals)


def _own_signal(
    path: Path, name: str, entry: Any, database: Database, faults: list[Fault]
) -> tuple[Message, OwnSignal] | None:
    before = len(faults)
    place = f"signals.{name}"
    kind = SIGNAL_BY_NAME.get(name)
    if kind is None:
        faults.append(_fault(path, place, "a signal that the program knows", name))
    if not isinstance(entry, dict):
        faults.append(_fault(path, place, "a table", repr(entry)[:40]))
        return None
    for key in sorted(entry.keys() - _KEYS):
        faults.append(_fault(path, f"{place}.{key}", f"one of {', '.join(sorted(_KEYS))}", key))
    message = next((one for one in database.messages if one.name == entry.get("message")), None)
    if message is None:
        given = repr(entry.get("message"))
        faults.append(_fault(path, f"{place}.message", "a message of the DBC", given))
        return None
    signal = next((one for one in message.signals if one.name == entry.get("signal")), None)
    if signal is None:
        given = repr(entry.get("signal"))
        faults.append(_fault(path, f"{place}.signal", f"a signal of {message.name}", given))
        return None
    factor, offset = entry.get("factor", 1.0), entry.get("offset", 0.0)
    for key, number in (("factor", factor), ("offset", offset)):
        if not _is_number(number):
            faults.append(_fault(path, f"{place}.{key}", "a number", repr(number)))
    if not (_is_number(signal.scale) and _is_number(signal.offset)):
        need, given = "a factor and an offset that are numbers", f"{signal.scale}, {signal.offset}"
        faults.append(_fault(path, f"{place}.signal", need, given))
    on = _read_on(path, place, entry.get("on"), kind is not None and kind.shape, faults)
    markers = entry.get("markers")
    if markers is not None and markers not in set(Markers):
        faults.append(
            _fault(path, f"{place}.markers", f"one of {', '.join(Markers)}", repr(markers))
        )
    if len(faults) > before:
        return None
    field = _field(signal, None if markers is None else Markers(markers))
    if on is None:
        field = replace(field, factor=field.factor * factor, offset=field.offset * factor + offset)
    else:
        field = replace(field, factor=1.0, offset=0.0)
    chooser = _chooser(message, signal)
    return message, OwnSignal(name, field, f"{message.name}.{signal.name}", on, chooser)


def _is_number(given: Any) -> bool:
    """Whether values can be worked out with it."""
    return (
        isinstance(given, int | float)
        and not isinstance(given, bool)
        and abs(given) <= 1e12  # NaN is not, and a whole number may be too long for a float
    )


def _read_on(
    path: Path, place: str, given: Any, shape: Shape | bool, faults: list[Fault]
) -> tuple[float, ...] | None:
    """The raw values under which a switch is on; by default 1."""
    if given is not None and shape is not Shape.SWITCH:
        faults.append(_fault(path, f"{place}.on", "only with a switch", repr(given)[:40]))
        return None
    if shape is not Shape.SWITCH:
        return None
    values = [1] if given is None else given
    whole = isinstance(values, list) and all(type(one) is int for one in values)
    if not whole or not values:
        faults.append(_fault(path, f"{place}.on", "a list of whole numbers", repr(given)[:40]))
        return None
    return tuple(float(one) for one in values)


def _field(signal: Signal, markers: Markers | None) -> Field:
    make = little if signal.byte_order == "little_endian" else big
    usual = usual_markers(signal.length, signal.is_signed, signal.is_float)
    return replace(
        make(signal.start, signal.length, float(signal.scale), float(signal.offset)),
        signed=signal.is_signed,
        is_float=signal.is_float,
        markers=usual if markers is None else markers,
    )


def _chooser(message: Message, signal: Signal) -> tuple[Field, tuple[int, ...]] | None:
    if not signal.multiplexer_ids or signal.multiplexer_signal is None:
        return None
    by = message.get_signal_by_name(signal.multiplexer_signal)
    plain = replace(_field(by, Markers.NONE), factor=1.0, offset=0.0)
    return plain, tuple(int(one) for one in signal.multiplexer_ids)


def _read_toml(path: Path) -> Mapping[str, Any]:
    content = _content(path)
    try:
        return tomllib.loads(content.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        raise BadInput(Fault(path.name, "TOML", str(error)[:120], _CURE)) from error


def _read_dbc(path: Path) -> Database:
    text = _content(path).decode("utf-8", "replace")
    try:
        database = cantools.database.load_string(text, database_format="dbc", prune_choices=False)
    except Exception as error:  # whatever the parser meets in a damaged file
        said = " ".join(str(error).split())[:160]
        raise BadInput(Fault(path.name, "a DBC", said, "Correct the DBC.")) from error
    if not isinstance(database, Database):
        raise BadInput(Fault(path.name, "a DBC of a CAN bus", "another one", "Give its DBC."))
    return database


def _content(path: Path) -> bytes:
    require_file(path)
    with path.open("rb") as file:
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        need = f"at most {MOST_BYTES} bytes"
        raise BadInput(Fault(path.name, need, "more", "A signal book is small: this is not one."))
    return content


def _fault(path: Path, key: str, need: str, given: str) -> Fault:
    return Fault(f"{path.name}, {key}", need, given, _CURE)
