"""Every reader against every kind of bad input: a typed error or a listed refusal, nothing else.

Each case is read with the peak of Python's own memory watched. What exactly is said is tested
beside each reader; here it is tested that something is said, and that nothing else happens.
"""

from __future__ import annotations

import codecs
import gzip
import json
import os
import random
import struct
import subprocess
import sys
import tracemalloc
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import pyarrow as pa
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.readers.task_data.making import MadeSet, counting, task

from balewright.cards.sheet_json import sheet_to_json
from balewright.flows.find_in_file import find_in_file
from balewright.plan.crop import Crop
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput, BadProfile
from balewright.readers import lines
from balewright.readers.archive import Limits
from balewright.readers.bale_csv import read_bale_csv
from balewright.readers.event_csv import read_event_csv
from balewright.readers.open_records import open_records
from balewright.readers.profile import MAKES, read_profile, shipped_profiles
from balewright.readers.task_data import open_task_data, task_bales
from balewright.records.intake import Batch

pytestmark = pytest.mark.derived

PEAK_BYTES = 96 << 20
MIB = 1 << 20
SECRET = "the-content-of-a-file-outside"


@dataclass(frozen=True)
class Account:
    """What a reading came to: the error, or how many good rows and what was said about others."""

    error: str | None = None
    rows: int = 0
    said: tuple[str, ...] = ()

    @property
    def is_silent(self) -> bool:
        """Neither refused nor listed anything."""
        return self.error is None and not self.said


def count_batches(batches: Iterator[Batch]) -> Account:
    """Read to the end, keeping nothing but what was said."""
    rows = 0
    said: list[str] = []
    for batch in batches:
        rows += batch.bales.rows + len(batch.events)
        said += [refusal.reason for refusal in batch.refusals]
        said += [doubt.text for doubt in batch.doubts]
        del batch
    return Account(None, rows, tuple(said))


def read_set(path: Path) -> Account:
    """Task data: its bales, what it says, and which files it did not read."""
    data = open_task_data(path)
    account = count_batches(task_bales(data))
    said = [one.why for one in data.ignored]
    return Account(None, account.rows, (*said, *account.said))


def read_one_profile(path: Path) -> Account:
    """A profile gives a machine or an error; a name in it counts as read."""
    return Account(None, 1 if read_profile(path).key else 0)


Reader = Callable[[Path], Account]


def read_one_sheet(path: Path) -> Account:
    """A kept sheet, as `balewright findings --sheet` reads it."""
    bales = path.with_name("bales.csv")
    bales.write_bytes(BALES)
    find_in_file(bales, MAKE, path)
    return Account(None, 1)


def read_any(path: Path) -> Account:
    """By whichever reader the content asks for."""
    return count_batches(open_records(path).batches)


READERS: dict[str, Reader] = {
    "bale csv": lambda path: count_batches(read_bale_csv(path)),
    "event csv": lambda path: count_batches(read_event_csv(path)),
    "profile": read_one_profile,
    "sheet json": read_one_sheet,
}
TABLES = ("bale csv", "event csv")

BALES = (
    "# balewright bale table 1\nmachine,bale_no,tipped_at,wrap_turns,mass_kg,job\n"
    + "".join(
        f"MW-07,{number},2031-06-14T09:{number:02}:00Z,16,612.5,Low Meadow\n"
        for number in range(1, 60)
    )
).encode()
EVENTS = (
    "# balewright events 1\nmachine,bale,at,kind,item,value,note\n"
    + "".join(
        f"MW-07,{number},2031-06-14T09:{number:02}:00Z,net roll changed,net,3000,white\n"
        for number in range(1, 60)
    )
).encode()
MAKE = sorted(shipped_profiles())[0]
ASKED = Conditions(Crop.HAY, 0.15, 4.0, 2.5, 0.02, False, False, None, None, 7.0, 200)
SHEET = json.dumps(sheet_to_json(plan_bale(shipped_profiles()[MAKE], ASKED, "MW-07", "9.9")))
PROFILE = sorted(MAKES.glob("*.toml"))[0].read_bytes()
GOOD = {"bale csv": BALES, "event csv": EVENTS, "profile": PROFILE, "sheet json": SHEET.encode()}

# Which number of each good file is spoilt by NaN, a minus or an absurd unit.
NUMBERS = {
    "bale csv": b"612.5",
    "event csv": b",3000,",
    "profile": next(line for line in PROFILE.split(b"\n") if line.startswith(b"width_m")),
    "sheet json": b'"windrow_kg_m": 4.0',
}
KEYS = {"profile": b"width_m = ", "sheet json": b'"windrow_kg_m": '}


def junk(count: int, seed: int = 7) -> bytes:
    """Bytes without meaning, the same every time."""
    return random.Random(seed).randbytes(count)


def spoil_number(form: str, number: str) -> bytes:
    """The good file with one number replaced."""
    old = NUMBERS[form]
    new = KEYS.get(form, b"") + number.encode()
    new = b"," + new + b"," if form == "event csv" else new
    assert old in GOOD[form]
    return GOOD[form].replace(old, new, 1)


DEFECTS: dict[str, Callable[[str], bytes]] = {
    "empty": lambda form: b"",
    "one line feed": lambda form: b"\n",
    "truncated early": lambda form: GOOD[form][: len(GOOD[form]) // 3 - 3],
    "truncated late": lambda form: GOOD[form][:-25],
    "utf-16": lambda form: codecs.BOM_UTF16_LE + GOOD[form].decode().encode("utf-16-le"),
    "utf-16 without mark": lambda form: GOOD[form].decode().encode("utf-16-be"),
    "latin-1 byte": lambda form: GOOD[form][:-20] + b"\xfc" + GOOD[form][-20:],
    "binary junk": lambda form: junk(20_000),
    "junk in the middle": lambda form: GOOD[form][:500] + junk(500) + GOOD[form][500:],
    "nul bytes": lambda form: GOOD[form][:500] + b"\x00" * 9 + GOOD[form][500:],
    "nothing but nul": lambda form: b"\x00" * 10_000,
    "not a number": lambda form: spoil_number(form, "NaN"),
    "infinite": lambda form: spoil_number(form, "-inf"),
    "negative": lambda form: spoil_number(form, "-2000000000.0"),
    "absurd unit": lambda form: spoil_number(form, "1230000000000.0"),
    "endless number": lambda form: spoil_number(form, "9" * 6000),
    "another file altogether": lambda form: b"%PDF-1.7\n" + junk(2000),
    "gzip of another file": lambda form: gzip.compress(junk(2000)),
    "gzip cut": lambda form: gzip.compress(GOOD[form])[:-9],
}


@pytest.fixture(autouse=True, scope="module")
def _loaded() -> None:
    """What Arrow loads at its first call is no part of the memory that is watched."""
    pa.array(["x"]).cast(pa.string()).to_pylist()


def account_of(read: Reader, path: Path) -> Account:
    """Read a path within bounded memory; only BadInput may come out."""
    tracemalloc.start()
    try:
        account = read(path)
    except BadInput as error:
        account = Account(str(error))
        whole = all(fault.place and fault.need and fault.cure for fault in error.faults)
    else:
        whole = True
    finally:
        peak_bytes = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    assert whole, f"a fault without place, need or cure: {account.error}"
    assert peak_bytes < PEAK_BYTES
    return account


@pytest.mark.parametrize("form", READERS)
def test_the_good_files_are_good(form: str, tmp_path: Path) -> None:
    """The files that are spoilt below are read without a word when whole."""
    path = tmp_path / "good"
    path.write_bytes(GOOD[form])
    account = account_of(READERS[form], path)
    assert account == Account(None, 59 if form in TABLES else 1)


@pytest.mark.parametrize("defect", DEFECTS)
@pytest.mark.parametrize("form", READERS)
def test_a_spoilt_file_is_told(form: str, defect: str, tmp_path: Path) -> None:
    """Each defect is an error or a listed refusal, by the reader itself and by `open_records`."""
    path = tmp_path / "spoilt"
    path.write_bytes(DEFECTS[defect](form))
    account = account_of(READERS[form], path)
    assert not account.is_silent
    if form == "profile":
        with pytest.raises(BadProfile, match="spoilt"):
            read_profile(path)
    if form in TABLES:
        opened = account_of(read_any, path)
        assert (opened.error is None, opened.rows) == (account.error is None, account.rows)


def test_paths_that_are_no_files_are_refused(tmp_path: Path) -> None:
    """A folder, a pipe, a missing path, a link to itself, an impossible name: never read, never
    waited for, by any reader."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    (tmp_path / "folder").mkdir()
    names = ("pipe", "loop", "folder", "gone", "nul\x00name", "long" * 100)
    for name in names:
        for read in (*READERS.values(), read_set, read_any):
            assert account_of(read, tmp_path / name).error is not None, name


# Task data: the same for every file of a set, as a folder and as a zip.


def good_set(folder: Path) -> Path:
    """A set of task data with one log of five bales."""
    made = MadeSet(folder)
    made.log("TLG00001", counting([(40 * bale, bale, 600 * bale) for bale in range(1, 6)]))
    made.tasks.append(task(["TLG00001"]))
    return made.write()


def pack(folder: Path, path: Path) -> Path:
    """The folder as a zip."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for one in sorted(folder.iterdir()):
            packed.write(one, f"TASKDATA/{one.name}")
    return path


SET_FILES = ("TASKDATA.XML", "TLG00001.XML", "TLG00001.BIN")
FILE_DEFECTS: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "truncated": lambda data: data[: len(data) * 2 // 3],
    "truncated by a byte": lambda data: data[:-1],
    "binary junk": lambda data: junk(5000),
    "junk in the middle": lambda data: data[: len(data) // 2] + junk(99) + data[len(data) // 2 :],
    "nothing but nul": lambda data: b"\x00" * 5000,
}


def test_the_good_set_is_good(tmp_path: Path) -> None:
    """The set that is spoilt below gives its bales as folder, zip and file."""
    (tmp_path / "set").mkdir()
    folder = good_set(tmp_path / "set")
    packed = pack(folder, tmp_path / "set.zip")
    whole = {account_of(read_set, path).rows for path in (folder, packed)}
    assert whole == {5}
    assert count_batches(open_records(folder).batches).rows == 5


@pytest.mark.parametrize("zipped", [False, True], ids=["folder", "zip"])
@pytest.mark.parametrize("defect", FILE_DEFECTS)
@pytest.mark.parametrize("name", SET_FILES)
def test_a_spoilt_set_is_told(name: str, defect: str, zipped: bool, tmp_path: Path) -> None:
    """A defect in any file of a set is an error or is listed, in a folder and in a zip."""
    (tmp_path / "set").mkdir()
    folder = good_set(tmp_path / "set")
    (folder / name).write_bytes(FILE_DEFECTS[defect]((folder / name).read_bytes()))
    path = pack(folder, tmp_path / "set.zip") if zipped else folder
    assert not account_of(read_set, path).is_silent


XML_HEAD = '<?xml version="1.0" encoding="UTF-8"?>'
ROOT = "ISO11783_TaskData"


def bomb() -> str:
    """Entities that would grow to 10^9 signs."""
    entities = '<!ENTITY e0 "xxxxxxxxxx">' + "".join(
        f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 9)
    )
    return f'{XML_HEAD}<!DOCTYPE {ROOT} [{entities}]><{ROOT}><TSK A="TSK1" B="&e8;"/></{ROOT}>'


def outside_entity(path: Path) -> str:
    """An entity that would bring in a file from outside the folder."""
    entity = f'<!DOCTYPE {ROOT} [<!ENTITY out SYSTEM "{path.as_uri()}">]>'
    return f'{XML_HEAD}{entity}<{ROOT}><TSK A="TSK1" B="x">&out;</TSK></{ROOT}>'


def test_an_entity_bomb_is_refused(tmp_path: Path) -> None:
    """Entities are not expanded: the file is refused, as folder and through `open_records`."""
    (tmp_path / "TASKDATA.XML").write_text(bomb())
    assert account_of(read_set, tmp_path).error is not None
    file = tmp_path / "TASKDATA.XML"
    assert account_of(read_any, file).error


def test_an_entity_from_outside_brings_nothing_in(tmp_path: Path) -> None:
    """What stands in a file outside the folder is in no answer."""
    (tmp_path / "secret.txt").write_text(SECRET)
    (tmp_path / "set").mkdir()
    (tmp_path / "set" / "TASKDATA.XML").write_text(outside_entity(tmp_path / "secret.txt"))
    account = account_of(read_set, tmp_path / "set")
    assert not account.is_silent
    assert SECRET not in str(account)


def test_deep_nesting_is_told(tmp_path: Path) -> None:
    """A hundred thousand elements inside each other exhaust no stack."""
    deep = "<TSK>" * 100_000 + "</TSK>" * 100_000
    (tmp_path / "TASKDATA.XML").write_text(f"{XML_HEAD}<{ROOT}>{deep}</{ROOT}>")
    assert not account_of(read_set, tmp_path).is_silent


@pytest.mark.parametrize(
    "member", ["../TASKDATA.XML", "/TASKDATA.XML", "a/../../TASKDATA.XML", "C:\\TASKDATA.XML"]
)
def test_a_path_that_leaves_the_zip_is_told(member: str, tmp_path: Path) -> None:
    """A member whose name leads out is not read and nothing is written beside the zip."""
    path = tmp_path / "set.zip"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr(member, f"{XML_HEAD}<{ROOT}/>")
    assert not account_of(read_set, path).is_silent
    assert [one.name for one in tmp_path.iterdir()] == ["set.zip"]


def test_a_link_that_leaves_the_folder_is_not_followed(tmp_path: Path) -> None:
    """A link to a file outside gives none of its content."""
    (tmp_path / "secret.xml").write_text(f'{XML_HEAD}<{ROOT}><TSK A="{SECRET}"/></{ROOT}>')
    (tmp_path / "set").mkdir()
    (tmp_path / "set" / "TASKDATA.XML").symlink_to(tmp_path / "secret.xml")
    account = account_of(read_set, tmp_path / "set")
    assert account.error is not None
    assert SECRET not in account.error


def test_a_zip_bomb_is_refused(tmp_path: Path) -> None:
    """A member that unpacks to far more than it weighs is refused before it is unpacked."""
    path = tmp_path / "set.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as packed:
        packed.writestr("TASKDATA.XML", b" " * (Limits().member_bytes // 2))
    assert path.stat().st_size < MIB
    assert account_of(read_set, path).error is not None


def test_a_zip_that_lies_about_a_size_is_told(tmp_path: Path) -> None:
    """A member said to be short and packed to be long is cut off, not believed."""
    path = tmp_path / "set.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("TASKDATA.XML", b" " * (8 * MIB))
    data = path.read_bytes().replace(struct.pack("<I", 8 * MIB), struct.pack("<I", 99))
    path.write_bytes(data)
    assert not account_of(read_set, path).is_silent


# Large files: never in memory, and no time worth waiting for.


def test_a_sparse_300_mb_file_is_refused_at_its_head(tmp_path: Path) -> None:
    """300 MB of nothing are refused by every reader after its first bytes."""
    path = tmp_path / "large"
    path.touch()
    os.truncate(path, 300 * MIB)
    for read in (*READERS.values(), read_any):
        assert account_of(read, path).error is not None


def test_300_mb_behind_a_good_row_are_one_refusal(tmp_path: Path) -> None:
    """A good row, then 300 MB without a line end: one row, one refusal."""
    path = tmp_path / "large"
    path.write_bytes(b"machine,bale_no\nMW-07,1\n")
    os.truncate(path, 300 * MIB)
    account = account_of(READERS["bale csv"], path)
    assert account.rows == 1
    assert account.said == ("needs a line of at most 65536 bytes. Look for missing line ends.",)


def test_gzip_bomb_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that unpacks to more than its share is stopped on the way."""
    monkeypatch.setattr(lines, "FREE_UNPACKED_BYTES", MIB)
    path = tmp_path / "bomb"
    path.write_bytes(gzip.compress(b"machine\n" + b"A" * (24 * MIB)))
    assert "400 times" in str(account_of(READERS["bale csv"], path).error)


PROGRAM = """
import resource, sys
from pathlib import Path
from balewright.readers.bale_csv import read_bale_csv
path = Path(sys.argv[1])
def peak_mb():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
rows = refused = 0
before = None
for batch in read_bale_csv(path):
    rows += batch.bales.rows
    refused += len(batch.refusals)
    before = before or peak_mb()
print(rows, refused, peak_mb() - before)
"""


def test_a_large_table_streams_in_bounded_memory(tmp_path: Path) -> None:
    """96 MB of rows with a bad line in each thousand: the peak is that of the first batch."""
    good = b"MW-07,%d,2031-06-14T09:30:00Z,2031-06-14T09:31:00.5Z,16,0,612.5,0.48,net,Low Meadow\n"
    part = b"".join(good % (number % 3) for number in range(999)) + b"damaged\n"
    names = b"machine,rolls_on,gate_open_at,tipped_at,wrap_turns,film1_breaks,mass_kg,"
    path = tmp_path / "large.csv"
    parts = 96 * MIB // len(part)
    with path.open("wb") as stream:
        stream.write(names + b"moisture_frac,binding,job\n")
        for _ in range(parts):
            stream.write(part)
    answer = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(path)], capture_output=True, text=True, check=True
    )
    rows, refused, grown_mb = map(int, answer.stdout.split())
    assert rows + refused == 1000 * parts
    assert refused == parts
    assert grown_mb < 64


# Fuzz: good files with random wounds.


@st.composite
def wounded(draw: st.DrawFn, data: bytes) -> bytes:
    """A good file with up to four pieces cut out, written over, put in twice or put in anew."""
    wounds = st.tuples(
        st.integers(0, len(data)), st.integers(0, 40), st.binary(max_size=12), st.booleans()
    )
    for at, length, new, again in draw(st.lists(wounds, min_size=1, max_size=4)):
        kept = data[at : at + length] if again else b""
        data = data[:at] + new + kept + kept + data[at + length :]
    return data


@pytest.mark.law
@pytest.mark.parametrize("form", READERS)
@settings(max_examples=80)
@given(data=st.data())
def test_wounded_files_bring_out_no_other_error(
    form: str, data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever is done to a good file, reading ends in rows, refusals or BadInput."""
    path = tmp_path_factory.mktemp("wounded") / "file"
    path.write_bytes(data.draw(wounded(GOOD[form])))
    for read in (READERS[form], read_any):
        with suppress(BadInput):
            read(path)


@pytest.mark.law
@settings(max_examples=80)
@given(content=st.binary(max_size=400), head=st.sampled_from([b"", b"machine,bale_no\n", b"<?xml"]))
def test_random_bytes_bring_out_no_other_error(
    content: bytes, head: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Bytes without sense end in rows, refusals or BadInput; every line is accounted for."""
    path = tmp_path_factory.mktemp("random") / "file"
    path.write_bytes(head + content)
    try:
        records = open_records(path)
        rows = refused = 0
        for batch in records.batches:
            rows += batch.bales.rows + len(batch.events)
            refused += len(batch.refusals)
    except BadInput:
        return
    if head.startswith(b"machine"):
        body = content
        assert rows + refused == body.count(b"\n") + (bool(body) and not body.endswith(b"\n"))


@pytest.mark.law
@pytest.mark.parametrize("name", SET_FILES)
@settings(max_examples=40)
@given(data=st.data())
def test_wounded_sets_bring_out_no_other_error(
    name: str, data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever is done to one file of a set, reading ends in rows, listings or BadInput."""
    folder = good_set(tmp_path_factory.mktemp("set"))
    (folder / name).write_bytes(data.draw(wounded((folder / name).read_bytes())))
    with suppress(BadInput):
        read_set(folder)
