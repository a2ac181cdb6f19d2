"""An invented day of a Mossgrinder M2 as frames, made by cantools from its DBC."""

from __future__ import annotations

import struct

import cantools
import numpy as np
from tests.readers.can.making import BALER, T0, TRACTOR, Bus, identifier
from tests.records.cycles.hand_made import START_US, two_bales

from balewright.readers.can.signal_book import MAKES
from balewright.records.signals import Signal

NAME = struct.pack("<Q", 4711 | 1234 << 21 | 128 << 40 | 9 << 49 | 2 << 60 | 1 << 63)
"""Maker 1234 (invented), device class 9, industry group 2."""

SWITCHES = {
    "DoorsShut": "chamber_closed",
    "BaleFull": "chamber_full",
    "BindingRuns": "binding_on",
    "BaleThere": "bale_on_wrapper",
    "RingRuns": "wrapper_on",
    "Tipping": "tip_on",
}
LEVELS = {"RingTurns": "wrap_turns", "Binding": "binding_m", "LifeBales": "bale_no"}


def value_at(signal: Signal, at_s: float) -> float:
    """The value of a hand-made signal at a tenth of a second."""
    return float(signal.values[round(at_s * 10)])


def two_bales_day(step_s: float = 0.2) -> Bus:
    """Two bales in 200 s (see `hand_made`), each message every `step_s`, with an address claim,
    the tractor's speed and position, and signals that are not there as `not available`."""
    database = cantools.database.load_file(MAKES / "mossgrinder_m2.dbc")
    drawn = two_bales()
    bus = Bus()
    bus.say(0.0, 60928, NAME)
    for at in np.arange(0, 199.9, step_s).round(1).tolist():
        for message in database.messages:
            content = {}
            for signal in message.signals:
                name = SWITCHES.get(signal.name) or LEVELS.get(signal.name)
                if name is None:
                    content[signal.name] = (1 << signal.length) - 1
                else:
                    value = value_at(drawn[name], at)
                    content[signal.name] = round((value - signal.offset) / signal.scale)
            data = message.encode(content, scaling=False, strict=False)
            pgn = (message.frame_id >> 8) & 0x3FFFF
            bus.frames.append((at + 0.001 * (pgn & 0xF), identifier(pgn, BALER), data))
        speed = round(value_at(drawn["speed_m_s"], at) * 1000)
        bus.say(at + 0.05, 65097, struct.pack("<HIBB", speed, 0, 255, 255), TRACTOR)
    for at in range(200):
        lat, lon = round((51.5 + at * 1e-5) * 1e7), round(7.25 * 1e7)
        bus.say(at + 0.06, 129025, struct.pack("<ii", lat, lon), 0x1C)
    return bus


SHIFT_US = round(T0 * 1e6) - START_US
"""From the times of the hand-made signals to those of the bus."""
