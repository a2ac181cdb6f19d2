"""Sets made to do harm: refused or listed, in bounded time and memory, good logs kept."""

from __future__ import annotations

import time
import tracemalloc
import zipfile
from pathlib import Path

import numpy as np
import pytest
from tests.readers.task_data.making import DAY, PEOPLE, MadeSet, Record, counting, document, task

from balewright.quantities.errors import BadInput, Stopped
from balewright.readers.task_data import log_files, open_task_data, set_files, task_bales
from balewright.readers.task_data.attributes import Ledger
from balewright.readers.task_data.layout import head_type
from balewright.readers.task_data.log_header import read_header
from balewright.readers.task_data.time_log import decode_log
from balewright.readers.task_data.xml import parse_xml

pytestmark = pytest.mark.derived

LONGEST_S = 20.0
"""No attack may take more of a processor; all but one take below a second."""


@pytest.fixture(autouse=True)
def _in_time():  # type: ignore[no-untyped-def]
    began = time.process_time()
    yield
    assert time.process_time() - began < LONGEST_S


@pytest.mark.parametrize(
    "text",
    [
        '<!DOCTYPE x SYSTEM "http://192.0.2.1/x.dtd"><ISO11783_TaskData/>',
        '<!DOCTYPE x [<!ENTITY % p SYSTEM "file:///etc/passwd"> %p;]><ISO11783_TaskData/>',
        '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><ISO11783_TaskData>&b;</x>',
    ],
    ids=["external", "parameter", "nested"],
)
def test_document_types_of_any_kind_are_refused(tmp_path: Path, text: str) -> None:
    """Nothing is fetched, no entity is resolved: the file is refused before either."""
    (tmp_path / "TASKDATA.XML").write_text(text)
    with pytest.raises(BadInput, match="without a document type"):
        open_task_data(tmp_path)


def test_a_hundred_thousand_elements_in_each_other_end_in_a_refusal(tmp_path: Path) -> None:
    """Deep nesting is cut off by the parser's own limit; what stands before it is kept."""
    deep = "<TSK>" * 100_000 + "</TSK>" * 100_000
    (tmp_path / "TASKDATA.XML").write_text(document(PEOPLE + deep))
    data = open_task_data(tmp_path)
    assert [party.name for party in data.customers] == ["Aldermoor"]
    assert any("broken XML" in each.reason for each in data.refusals)


def test_huge_attributes_and_numbers_are_no_values(tmp_path: Path) -> None:
    """Megabytes in an attribute are read as text; a number of a million digits is none."""
    digits = "9" * 1_000_000
    inside = f'<CTR A="CTR1" B="{"x" * 5_000_000}"/><PFD A="PFD1" C="F" D="{digits}"/>'
    data = open_task_data(_main(tmp_path, inside))
    assert data.fields[0].area_m2 is None
    assert len(data.doubts[0].text) < 200


def test_tree_of_a_million_bytes_of_attributes_is_read_in_bounded_memory() -> None:
    """A hundred thousand attributes of one element: a tree or a refusal, within 300 MB."""
    text = "<TIM " + " ".join(f'a{n}="{n}"' for n in range(100_000)) + "/>"
    tracemalloc.start()
    tree = parse_xml(text.encode(), "TLG00001.XML")
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert tree.root is not None
    assert peak < 300e6


@pytest.mark.parametrize("name", ["../OUT", "/etc/passwd", "..\\OUT", "C:OUT", "a/../../OUT", ""])
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    """An external file, a log and a link list that point out of the folder: listed, not opened."""
    (tmp_path / "OUT.XML").write_text('<XFC><CTR A="CTR9" B="Outside"/></XFC>')
    (tmp_path / "OUT.BIN").write_bytes(b"")
    folder = tmp_path / "set"
    folder.mkdir()
    inside = f'<XFR A="{name}"/><AFE A="{name}.XML" D="1"/>{task([name] if name else ["x/y"])}'
    data = open_task_data(_main(folder, inside))
    assert [each.reason.endswith("not read") for each in data.refusals] == [True]
    assert not data.customers
    assert not data.links
    assert "leads nowhere else" in data.tasks[0].refused[0].reason


def test_external_file_that_names_its_set_or_itself_is_read_once(tmp_path: Path) -> None:
    """XFR in circles, and the same one ten thousand times: read once, said."""
    circle = '<XFC><CTR A="CTR1" B="Aldermoor"/><XFR A="A"/><XFR A="TASKDATA"/></XFC>'
    (tmp_path / "A.XML").write_text(circle)
    data = open_task_data(
        _main(tmp_path, '<XFR A="A"/><XFR A="TASKDATA"/>' + '<XFR A="A"/>' * 9999)
    )
    assert [party.name for party in data.customers] == ["Aldermoor"]
    assert sum("named once more" in each.text for each in data.doubts) == 10_000
    assert any("not followed" in each.text for each in data.doubts)


def test_thousands_of_externals_in_a_zip_take_seconds(tmp_path: Path) -> None:
    """Four thousand members, each named: the zip's directory is read once."""
    path = tmp_path / "many.zip"
    with zipfile.ZipFile(path, "w") as packed:
        names = [f"CTR{n:05d}" for n in range(4_000)]
        inside = "".join(f'<XFR A="{name}"/>' for name in names)
        packed.writestr("TASKDATA/TASKDATA.XML", document(inside))
        for n, name in enumerate(names):
            packed.writestr(f"TASKDATA/{name}.XML", f'<XFC><CTR A="CTR{n}" B="{n}"/></XFC>')
    assert len(open_task_data(path).customers) == 4_000


def test_xml_beyond_the_sum_that_one_set_may_have_is_listed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Four externals of which three fit (the sum set low here): the fourth is refused by name."""
    monkeypatch.setattr(set_files, "MAX_XML_TOTAL_BYTES", 4_000)
    for n in range(4):
        (tmp_path / f"CTR{n}.XML").write_text("<XFC>" + " " * 1_000 + "</XFC>")
    data = open_task_data(_main(tmp_path, "".join(f'<XFR A="CTR{n}"/>' for n in range(4)) + PEOPLE))
    assert [each.file for each in data.refusals] == ["CTR3.XML"]
    assert [party.name for party in data.customers] == ["Aldermoor"]


def test_good_logs_around_damaged_ones_are_counted(tmp_path: Path) -> None:
    """Between two whole logs one of junk, one whose header is a bomb, one cut off: their bales
    and masses are kept, each fault is named under its log."""
    made = MadeSet(tmp_path, [task([f"TLG{n:05d}" for n in range(1, 6)])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    made.log("TLG00002", np.random.default_rng(7).bytes(40_000))
    made.log("TLG00003", counting([(60, 1, 800)], begin_s=40_000))
    (tmp_path / "TLG00003.XML").write_text('<!DOCTYPE x [<!ENTITY a "b">]><TIM A=""/>')
    made.log("TLG00004", b"".join(each.packed() for each in counting([(9, 1, 7)]))[:-4])
    made.log("TLG00005", counting([(60, 1, 700), (120, 2, 1_500)], begin_s=50_000))
    (record,) = open_task_data(made.write()).tasks
    assert record.bales == 4
    assert {each.file[:8] for each in record.refused} == {"TLG00002", "TLG00003", "TLG00004"}


def test_logs_made_of_damage_end_in_seconds_and_cost_no_good_one(tmp_path: Path) -> None:
    """Ten logs full of heads that look right and lead nowhere: looking for records behind damage
    has one share for the whole set; a log without damage needs none of it."""
    head = Record(36_000, claimed=200).packed()
    made = MadeSet(tmp_path, [task([f"TLG{n:05d}" for n in range(11)])])
    for n in range(10):
        made.log(f"TLG{n:05d}", bytes([n]) + head * 12_000)
    made.log("TLG00010", counting([(60, 1, 800)], begin_s=50_000))
    (record,) = open_task_data(made.write()).tasks
    assert record.bales == 1
    assert len({each.file for each in record.refused}) == 10


def test_who_listens_hears_every_byte_and_may_stop(tmp_path: Path) -> None:
    """Bytes done never fall, end at all there are; Stopped ends the reading at once."""
    made = MadeSet(tmp_path, [task(["TLG00001"])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    heard: list[tuple[int, int | None]] = []
    open_task_data(made.write(), tell=lambda done, total: heard.append((done, total)))
    total = sum(each.stat().st_size for each in tmp_path.iterdir())
    assert [done for done, _ in heard] == sorted(done for done, _ in heard)
    assert heard[-1] == (total, total)

    def stop(done: int, total: int | None) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        open_task_data(tmp_path, tell=stop)


def test_bales_come_in_batches_with_their_places(tmp_path: Path) -> None:
    """Seventy thousand counts in one log: two batches, each bale with the byte of its record."""
    rows = 70_001
    record = np.dtype([("ms", "<u4"), ("day", "<u2"), ("n", "u1"), ("index", "u1"), ("raw", "<i4")])
    data = np.zeros(rows, dtype=record)
    data["ms"], data["day"], data["n"] = np.arange(rows) * 1000, DAY, 1
    data["raw"] = np.arange(rows)
    made = MadeSet(tmp_path, [task(["TLG00001"])])
    made.log("TLG00001", data.tobytes(), ["005B"], "")
    batches = list(task_bales(open_task_data(made.write())))
    assert [batch.bales.rows for batch in batches] == [65_536, rows - 1 - 65_536]
    places = [batch.places for batch in batches if batch.places]
    at = np.concatenate([each.at for each in places])
    assert (at == (np.arange(rows - 1) + 1) * record.itemsize).all()
    assert set(places[1].file) == {"TLG00001.BIN"}


def test_more_bales_than_a_machine_ever_makes_are_refused_with_their_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bound (set low here) takes the log that passes it; the ones before are kept."""
    monkeypatch.setattr(log_files, "MAX_BALES", 2)
    made = MadeSet(tmp_path, [task(["TLG00001", "TLG00002"])])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1_600)]))
    made.log("TLG00002", counting([(60, 3, 800), (120, 4, 1_600)], start=(2, 0), begin_s=50_000))
    (record,) = open_task_data(made.write()).tasks
    assert record.bales == 2
    assert [each.file for each in record.refused] == ["TLG00002.BIN"]
    assert "more than 2 bales" in record.refused[0].reason


def test_columns_of_a_log_that_has_gone_since_are_bad_input(tmp_path: Path) -> None:
    """A log is decoded anew when asked for; where its file is no longer there, that is said."""
    made = MadeSet(tmp_path, [task(["TLG00001"])])
    made.log("TLG00001", counting([(60, 1, 800)]))
    (record,) = open_task_data(made.write()).tasks
    assert record.logs[0].decoded().rows == record.rows
    (tmp_path / "TLG00001.BIN").unlink()
    with pytest.raises(BadInput, match="TLG00001: needs the log that was read before"):
        record.logs[0].decoded()


@pytest.mark.parametrize(("version", "doubted"), [("0", 0), ("2", 0), ("4", 0), ("5", 1)])
def test_versions_up_to_four_are_known_and_newer_ones_doubted(
    tmp_path: Path, version: str, doubted: int
) -> None:
    """Also "0", as a real season has it; of a newer version what is known is read."""
    text = document(PEOPLE, f'VersionMajor="{version}" VersionMinor="1"')
    (tmp_path / "TASKDATA.XML").write_text(text)
    data = open_task_data(tmp_path)
    assert (data.version, data.customers[0].name) == (f"{version}.1", "Aldermoor")
    assert sum("newer than this reader" in each.text for each in data.doubts) == doubted


@pytest.mark.law
def test_memory_is_that_of_one_log_at_a_time(tmp_path: Path) -> None:
    """Five logs of 2 MB hold no more than one: what is kept of a log is its bales."""
    data = np.zeros(120_000, dtype=head_type("ABD"))
    data["ms"], data["day"] = np.arange(len(data)) * 100, DAY
    data["north"], data["east"], data["status"] = 500_000_000, 70_000_000, 1
    peaks = []
    for count in (1, 5):
        folder = tmp_path / str(count)
        folder.mkdir()
        made = MadeSet(folder, [task([f"TLG{n:05d}" for n in range(count)])])
        for n in range(count):
            data["north"][0] = 500_000_000 + n  # no log is the copy of another
            made.log(f"TLG{n:05d}", data.tobytes())
        made.write()
        tracemalloc.start()
        found = open_task_data(folder)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        assert found.tasks[0].rows == len(data) * count
    assert peaks[1] < 1.1 * peaks[0]
    assert peaks[0] < 16 * data.nbytes


@pytest.mark.law
def test_memory_of_a_log_of_the_shortest_records_is_bounded() -> None:
    """Records of seven bytes make the most columns: at most 16 bytes held for each of the file."""
    one = np.zeros(250_000, dtype=[("ms", "<u4"), ("day", "<u2"), ("n", "u1")])
    one["ms"], one["day"] = np.arange(len(one)) * 80, DAY
    header = read_header(b'<TIM A=""/>', "T.XML", Ledger())
    assert header is not None
    data = one.tobytes()
    tracemalloc.start()
    log = decode_log("T", data, header, "T.BIN")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert log.rows == len(one)
    assert peak < 16 * len(data)


def _main(folder: Path, inside: str) -> Path:
    (folder / "TASKDATA.XML").write_text(document(inside))
    return folder
