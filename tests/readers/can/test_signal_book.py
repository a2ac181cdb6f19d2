"""A machine's own signals: the books of the invented makes, and every fault of a book named."""

from __future__ import annotations

from pathlib import Path

import cantools
import numpy as np
import pytest
from tests.readers.can.making import BALER, Bus, identifier

from balewright.quantities.errors import BadInput
from balewright.readers.can.signal_book import MAKES, read_signal_book, shipped_book
from balewright.readers.can.trace import open_trace
from balewright.readers.profile import shipped_profiles
from balewright.readers.reading import Reading

BOOK = """
version = 1
machine = "some"
dbc = "some.dbc"

[signals]
bale_no = { message = "Motors", signal = "Bales" }
binding_on = { message = "Motors", signal = "State", on = [2, 3] }
oil_c = { message = "Chosen", signal = "Heat" }
moisture_frac = { message = "Chosen", signal = "Wet", factor = 0.01 }
supply_v = { message = "Plain", signal = "Volt" }
air_c = { message = "Plain", signal = "Air", markers = "none" }
"""

DBC = """VERSION ""
NS_ :
BS_:
BU_:
BO_ 2566856190 Motors: 8 Vector__XXX
 SG_ Bales : 7|16@0+ (1,0) [0|65535] "" Vector__XXX
 SG_ State : 16|3@1+ (1,0) [0|7] "" Vector__XXX
BO_ 2566856446 Chosen: 8 Vector__XXX
 SG_ Which M : 0|8@1+ (1,0) [0|255] "" Vector__XXX
 SG_ Heat m0 : 8|16@1- (0.1,0) [-3276.8|3276.7] "degC" Vector__XXX
 SG_ Wet m1 : 8|16@1+ (0.01,0) [0|100] "%" Vector__XXX
BO_ 512 Plain: 8 Vector__XXX
 SG_ Volt : 0|32@1- (1,0) [0|0] "V" Vector__XXX
 SG_ Air : 32|8@1- (1,0) [-128|127] "degC" Vector__XXX
BA_DEF_ BO_ "VFrameFormat" ENUM "StandardCAN","ExtendedCAN","reserved","J1939PG";
BA_DEF_ "ProtocolType" STRING ;
BA_DEF_DEF_ "VFrameFormat" "StandardCAN";
BA_DEF_DEF_ "ProtocolType" "J1939";
BA_ "ProtocolType" "J1939";
BA_ "VFrameFormat" BO_ 2566856190 3;
BA_ "VFrameFormat" BO_ 2566856446 3;
SIG_VALTYPE_ 512 Volt : 1;
"""


def write(folder: Path, book: str = BOOK, dbc: str = DBC) -> Path:
    """A signal book in a folder."""
    (folder / "some.dbc").write_text(dbc)
    path = folder / "some.toml"
    path.write_text(book)
    return path


@pytest.mark.law
def test_books_of_the_makes_are_sound_and_the_poor_one_has_none() -> None:
    """Rich, poor and none; every signal of a DBC can be told apart from its neighbours."""
    counts = {
        key: None
        if (path := shipped_book(key)) is None
        else sum(len(message.signals) for message in read_signal_book(path).messages)
        for key in shipped_profiles()
    }
    assert counts == {"mossgrinder-m2": 24, "thistlewick-t1": 6, "plainrow-p0": None}
    for path in MAKES.glob("*.dbc"):
        cantools.database.load_file(path, strict=True)


@pytest.mark.reference
def test_signals_of_every_kind_are_taken_as_cantools_decodes_them(tmp_path: Path) -> None:
    """High byte first, chosen by a multiplexer, signed, a float, an 11-bit identifier: the values
    of cantools; a switch is on under the values the book names."""
    book = write(tmp_path)
    database = cantools.database.load_file(tmp_path / "some.dbc")
    bus, wanted = Bus(), {}
    for at, (name, content) in enumerate(
        [
            ("Motors", {"Bales": 4711, "State": 2}),
            ("Motors", {"Bales": 4712, "State": 1}),
            ("Chosen", {"Which": 0, "Heat": -12.5}),
            ("Chosen", {"Which": 1, "Wet": 16.25}),
            ("Plain", {"Volt": 12.75, "Air": 127}),
        ]
    ):
        message = database.get_message_by_name(name)
        data = message.encode(content, strict=False)
        pgn = (message.frame_id >> 8) & 0x3FFFF
        number = identifier(pgn, BALER) if message.is_extended_frame else message.frame_id
        bus.frames.append((float(at), number, data))
        wanted[name, at] = message.decode(data, decode_choices=False)
    import can
    from tests.readers.can.making import write_messages

    messages = bus.messages()
    messages[-1] = can.Message(
        timestamp=messages[-1].timestamp, arbitration_id=512, is_extended_id=False,
        data=messages[-1].data,
    )  # fmt: skip
    trace = open_trace(
        write_messages(tmp_path, "asc", messages), Reading(signal_book=book, begins_us=0)
    )
    found = {name: one.values.tolist() for name, one in trace.signals.by_name.items()}
    assert found == {
        "bale_no": [wanted["Motors", 0]["Bales"], wanted["Motors", 1]["Bales"]],
        "binding_on": [1.0, 0.0],
        "oil_c": [pytest.approx(wanted["Chosen", 2]["Heat"])],
        "moisture_frac": [pytest.approx(wanted["Chosen", 3]["Wet"] / 100)],
        "supply_v": [wanted["Plain", 4]["Volt"]],
        "air_c": [wanted["Plain", 4]["Air"]],
    }
    assert all(one.known.all() for one in trace.signals.by_name.values())
    assert np.array_equal(trace.signals.by_name["bale_no"].at, [1, 2])


FAULTS = {
    "version": ("version = 1", "version = 2", ["version"]),
    "key": ("machine =", "maker =", ["maker"]),
    "dbc outside": ('"some.dbc"', '"../some.dbc"', ["dbc"]),
    "no dbc": ('"some.dbc"', '"other.dbc"', ["other.dbc"]),
    "unknown signal": ("oil_c", "oil_k", ["signals.oil_k"]),
    "message": (
        '"Plain", signal = "Volt"',
        '"Plane", signal = "Volt"',
        ["signals.supply_v.message"],
    ),
    "signal": ('signal = "Volt"', 'signal = "Volts"', ["signals.supply_v.signal"]),
    "factor": ("factor = 0.01", 'factor = "x"', ["signals.moisture_frac.factor"]),
    "no number": ("factor = 0.01", "factor = nan", ["signals.moisture_frac.factor"]),
    "on": ("on = [2, 3]", "on = []", ["signals.binding_on.on"]),
    "on a level": ('signal = "Heat"', 'signal = "Heat", on = [1]', ["signals.oil_c.on"]),
    "markers": ('markers = "none"', 'markers = "maybe"', ["signals.air_c.markers"]),
    "entry key": ('signal = "Heat"', 'signal = "Heat", scale = 1', ["signals.oil_c.scale"]),
    "two at once": ("bale_no", "bales", ["signals.bales"]),
    "not toml": ("version = 1", "version = ", ["some.toml"]),
}


@pytest.mark.derived
@pytest.mark.parametrize(("old", "new", "places"), FAULTS.values(), ids=FAULTS.keys())
def test_every_fault_of_a_book_is_named(
    old: str, new: str, places: list[str], tmp_path: Path
) -> None:
    """File, key, what was needed, what stood there, and the cure."""
    with pytest.raises(BadInput) as caught:
        read_signal_book(write(tmp_path, BOOK.replace(old, new, 1)))
    said = [fault.place for fault in caught.value.faults]
    assert [place.removeprefix("some.toml, ") for place in said] == places
    assert all(fault.cure and fault.need for fault in caught.value.faults)


@pytest.mark.derived
def test_all_faults_come_at_once(tmp_path: Path) -> None:
    """Whoever mends a book mends it once."""
    book = (
        BOOK.replace("oil_c", "oil_k").replace('"Volt"', '"Volts"').replace("on = [2, 3]", "on = 2")
    )
    with pytest.raises(BadInput) as caught:
        read_signal_book(write(tmp_path, book))
    assert len(caught.value.faults) == 3


@pytest.mark.derived
def test_a_factor_of_the_dbc_that_is_no_number_is_refused(tmp_path: Path) -> None:
    """A number too large for any is infinite: no value could be worked out."""
    book = '\n'.join((
        "version = 1", 'dbc = "some.dbc"', "[signals]", 'oil_c = { message = "M", signal = "A" }',
    ))  # fmt: skip
    dbc = 'VERSION ""\nBU_: X\nBO_ 5 M: 8 X\n SG_ A : 0|8@1+ (1e999,0) [0|0] "" X\n'
    with pytest.raises(BadInput, match=r"signals\.oil_c\.signal: needs a factor.*inf"):
        read_signal_book(write(tmp_path, book, dbc=dbc))


@pytest.mark.derived
@pytest.mark.parametrize(
    "dbc", ["", "\0\0\0", "BO_ x", 'BO_ 1 M: 8 X\n SG_ A : 70|9@1+ (1,0) [0|0] "" X']
)
def test_damaged_dbc_is_refused(dbc: str, tmp_path: Path) -> None:
    """Whatever the parser meets comes out as a fault that names the file."""
    with pytest.raises(BadInput, match=r"some\.(dbc|toml)"):
        read_signal_book(write(tmp_path, dbc=dbc))
