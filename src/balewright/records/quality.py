"""Marks on what is odd but readable. It is kept; the mark says what is odd."""

from __future__ import annotations

from enum import StrEnum


class Mark(StrEnum):
    """Kinds of doubt, as stored and shown."""

    TIMES_DISORDERED = "times disordered"
    CLOCK_JUMPED = "clock jumped"
    CLOCK_TWICE = "clock shown twice"
    ZONE_UNKNOWN = "zone unknown"
    NUMBER_REPEATED = "number repeated"
    NUMBER_MISSING = "number missing"
    COUNTER_STEPPED_BACK = "counter stepped back"
    COUNTER_LEAPT = "counter leapt"
    COUNTED_TWICE = "counted twice"
    COUNTER_CARRIED_OVER = "counter carried over"
    TOTAL_DIFFERS = "total differs"
    MASS_WITHOUT_BALE = "mass without bale"
    BALE_WITHOUT_MASS = "bale without mass"
    MASS_UNBELIEVABLE = "mass unbelievable"
    RECORD_DAMAGED = "record damaged"
    RECORD_LEFT_OUT = "record left out"
    FILE_CUT = "file cut"
    LOG_REPEATED = "log repeated"
    LOG_MISSING = "log missing"
    UNIT_CONTRADICTED = "unit contradicted"
    ELEMENT_UNKNOWN = "element unknown"
    IDENTITY_UNKNOWN = "identity unknown"
    JOB_SHARED = "job word shared"
    PLACE_DOUBTED = "place doubted"
    CLOCK_OFF = "clock off"
    START_UNKNOWN = "start unknown"
    RECORDING_GAP = "recording gap"
    MESSAGE_INCOMPLETE = "message incomplete"
    SENDER_DOUBTED = "sender doubted"
    VALUE_UNBELIEVABLE = "value unbelievable"
    CYCLE_UNSEEN = "cycle unseen"
    SIGNALS_UNKNOWN = "signals unknown"
    NAMED_TWICE = "named twice"
