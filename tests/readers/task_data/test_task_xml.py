"""XML of task data: safe against attacks, tolerant of breakage, silent about nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.readers.task_data.making import DEVICE, PEOPLE, Record, document, header, task, zipped

from balewright.quantities.errors import BadInput
from balewright.readers.task_data import open_task_data
from balewright.readers.task_data.values import Link
from balewright.readers.task_data.xml import parse_xml

pytestmark = pytest.mark.derived

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + "".join(
        f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in zip("abcdefgh", "bcdefghi", strict=True)
    )
    + "]><ISO11783_TaskData>&i;</ISO11783_TaskData>"
)


def _set(folder: Path, inside: str, **files: str) -> Path:
    (folder / "TASKDATA.XML").write_text(document(inside))
    for name, text in files.items():
        (folder / f"{name}.XML").write_text(text)
    return folder


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entity_bomb_is_refused(encoding: str) -> None:
    """A document type is refused before anything in it is looked at, in any encoding."""
    with pytest.raises(BadInput, match="entity bomb"):
        parse_xml(BOMB.encode(encoding), "TASKDATA.XML")


def test_entity_that_names_a_file_is_refused(tmp_path: Path) -> None:
    """An external entity cannot pull a file in: the set is refused with the file's name."""
    text = '<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/passwd">]><ISO11783_TaskData>&f;</x>'
    (tmp_path / "TASKDATA.XML").write_text(text)
    with pytest.raises(BadInput, match=r"TASKDATA\.XML: needs XML without a document type"):
        open_task_data(tmp_path)


def test_bomb_in_an_external_file_is_listed_and_the_rest_is_kept(tmp_path: Path) -> None:
    """One bad external file loses what it holds, no more."""
    data = open_task_data(_set(tmp_path, PEOPLE + '<XFR A="TSK00001" B="1"/>', TSK00001=BOMB))
    assert [party.name for party in data.customers] == ["Aldermoor"]
    assert "entity bomb" in data.refusals[0].reason


def test_broken_xml_is_read_as_far_as_it_goes(tmp_path: Path) -> None:
    """Of a file cut off in its second task the first is kept; the line is listed."""
    text = document(PEOPLE + "\n" + task([]) + "\n" + task([], "TSK2"))
    (tmp_path / "TASKDATA.XML").write_text(text[: text.index("TSK2") + 3])
    data = open_task_data(tmp_path)
    assert [record.task.key for record in data.tasks] == ["TSK1"]
    assert data.refusals[0].place == "line 3"
    assert "broken XML" in data.refusals[0].reason


def test_letters_in_the_wrong_encoding_are_read_and_said(tmp_path: Path) -> None:
    """Bytes of Windows-1252 in a file that says UTF-8 are read as that, with a doubt."""
    text = document('<CTR A="CTR1" B="Hof Süd"/>')
    (tmp_path / "TASKDATA.XML").write_bytes(text.encode("cp1252"))
    data = open_task_data(tmp_path)
    assert data.customers[0].name == "Hof Süd"
    assert "not in the encoding" in data.doubts[0].text


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_files_with_a_byte_order_mark_are_read(tmp_path: Path, encoding: str) -> None:
    """UTF-8 with its mark and UTF-16 are read without a doubt."""
    text = document('<CTR A="CTR1" B="Hof Süd"/>').replace("UTF-8", encoding[:6].rstrip("-"))
    (tmp_path / "TASKDATA.XML").write_bytes(text.encode(encoding))
    data = open_task_data(tmp_path)
    assert data.customers[0].name == "Hof Süd"
    assert not data.refusals


@pytest.mark.parametrize(
    ("content", "given"),
    [
        (b"", "no XML"),
        (b"\x00\x01\x02junk\xff" * 50, "no XML"),
        (b"<html></html>", "the root element html"),
    ],
    ids=["empty", "junk", "other XML"],
)
def test_what_is_no_task_data_is_refused_with_the_cure(
    tmp_path: Path, content: bytes, given: str
) -> None:
    """Empty, junk and foreign files say what was needed, what was given and what to do."""
    (tmp_path / "TASKDATA.XML").write_bytes(content)
    with pytest.raises(BadInput, match=f"{given}.*Give the folder that holds"):
        open_task_data(tmp_path)


def test_file_beyond_the_limit_is_refused_by_its_size(tmp_path: Path) -> None:
    """A TASKDATA.XML of 300 MB (made sparse) is refused without being read."""
    with (tmp_path / "TASKDATA.XML").open("wb") as stream:
        stream.truncate(300 * 1024 * 1024)
    with pytest.raises(BadInput, match="at most 64 MiB, was given 300 MiB"):
        open_task_data(tmp_path)


def test_external_files_in_any_letter_case_are_followed(tmp_path: Path) -> None:
    """XFR names CTR00001; the file is called ctr00001.xml."""
    _set(tmp_path, '<XFR A="CTR00001" B="1"/>')
    (tmp_path / "ctr00001.xml").write_text('<XFC><CTR A="CTR1" B="Aldermoor"/></XFC>')
    assert open_task_data(tmp_path).customers[0].name == "Aldermoor"


def test_external_file_that_is_missing_or_outside_is_refused(tmp_path: Path) -> None:
    """A missing file is listed; a name that points out of the folder finds nothing either."""
    (tmp_path / "OUT.XML").write_text('<XFC><CTR A="CTR1" B="Outside"/></XFC>')
    folder = tmp_path / "set"
    folder.mkdir()
    data = open_task_data(_set(folder, PEOPLE + '<XFR A="FRM00001"/><XFR A="../OUT"/>'))
    assert [each.file for each in data.refusals] == ["FRM00001.XML", "../OUT.XML"]
    assert [party.name for party in data.customers] == ["Aldermoor"]


def test_link_list_gives_lasting_identifiers_with_what_they_name(tmp_path: Path) -> None:
    """Each link keeps its kind (1 UUIDs, 3 addresses), its designator and what the set calls the
    object; one without an object or a value is refused by its line."""
    links = (
        '<ISO11783LinkList><LGP A="LGP1" B="1"><LNK A="CTR1" B="{7}"/><LNK A="CTR9" B="{8}"/></LGP>'
        '<LGP A="LGP2" B="3">\n<LNK A="PFD1" B="https://example.org/7" C="map"/><LNK A="FRM1"/>'
        "</LGP></ISO11783LinkList>"
    )
    data = open_task_data(_set(tmp_path, PEOPLE, LINKLIST=links))
    assert data.links == (
        Link("CTR1", "{7}", 1, "LGP1", "", "CTR Aldermoor"),
        Link("CTR9", "{8}", 1, "LGP1", "", ""),
        Link("PFD1", "https://example.org/7", 3, "LGP2", "map", "PFD Long Strip"),
    )
    assert [(each.place, each.text) for each in data.refusals] == [("line 2, LNK", "FRM1")]


def test_attached_file_may_name_the_link_list(tmp_path: Path) -> None:
    """AFE of kind 1 names the link list; a name that leads out of the folder is not followed."""
    links = '<ISO11783LinkList><LGP A="LGP1" B="1"><LNK A="CTR1" B="{7}"/></LGP></ISO11783LinkList>'
    (tmp_path / "OUT.XML").write_text(links)
    folder = tmp_path / "set"
    folder.mkdir()
    attached = (
        '<AFE A="../OUT.XML" B="1" D="1"/><AFE A="MYLINKS.XML" B="1" C="0614141000111" D="1"/>'
    )
    data = open_task_data(_set(folder, PEOPLE + attached, MYLINKS=links))
    assert [each.value for each in data.links] == ["{7}"]
    assert [each.file for each in data.attached] == ["../OUT.XML", "MYLINKS.XML"]


def test_identifier_that_stands_twice_is_said(tmp_path: Path) -> None:
    """The first of two equal identifiers counts; the second is named by its line."""
    twice = '<CTR A="CTR1" B="First"/>\n<CTR A="CTR1" B="Second"/>'
    data = open_task_data(_set(tmp_path, twice))
    assert [party.name for party in data.customers] == ["First"]
    assert [(each.kind, each.place) for each in data.doubts] == [("named twice", "line 2, CTR")]


def test_unknown_elements_are_counted_and_said(tmp_path: Path) -> None:
    """A maker's own elements are left out, by name and number."""
    data = open_task_data(_set(tmp_path, PEOPLE + "<P99_Thing/><P99_Thing/>"))
    assert "elements P99_Thing, which the standard has not: 2" in data.doubts[0].text


@pytest.mark.parametrize("wrong", ["NaN", "1e999", "seven"])
def test_number_that_is_none_is_unknown_and_said(tmp_path: Path, wrong: str) -> None:
    """NaN, infinity and words in a presentation's scale are unknown with a doubt, not zero."""
    dpd = f'<DPD A="10" B="005B" F="20"/><DVP A="20" B="0" C="{wrong}" D="0" E="kg"/>'
    data = open_task_data(_set(tmp_path, DEVICE.format(dpd=dpd)))
    assert "DVP/@C" in data.doubts[0].text
    assert "unknown" in data.doubts[0].text


def test_device_is_read_with_what_it_logs_and_shows(tmp_path: Path) -> None:
    """Elements, process data and presentations are tied by their object numbers."""
    dpd = '<DPD A="10" B="0063" E="Wet" F="20"/><DVP A="20" B="1" C="0.1" D="1" E="%"/>'
    device = open_task_data(_set(tmp_path, DEVICE.format(dpd=dpd))).devices[0]
    process = device.elements[0].process[0]
    assert (device.machine, process.number, process.designator) == ("RB-7", 0x63, "Wet")
    assert process.presentation is not None
    assert (process.presentation.offset, process.presentation.scale) == (1.0, 0.1)


@pytest.mark.published
def test_device_class_is_read_from_the_network_name(tmp_path: Path) -> None:
    """ISO 11783-5 NAME: bits 49 to 55 are the device class; A012... is class 9, forage."""
    data = open_task_data(_set(tmp_path, DEVICE.format(dpd="")))
    assert data.devices[0].device_class == 9


def test_single_description_is_read_by_itself(tmp_path: Path) -> None:
    """A file with one DVC as its root gives its device and says that no task data stood there."""
    path = tmp_path / "Description.xml"
    path.write_text(DEVICE.format(dpd=""))
    data = open_task_data(path)
    assert data.devices[0].name == "Round One"
    assert "no TASKDATA.XML" in data.doubts[-1].text


def test_folder_zip_and_file_read_the_same(tmp_path: Path) -> None:
    """A folder, a zip with a folder in it, mac companions beside, and the XML itself agree."""
    folder = tmp_path / "out" / "TASKDATA"
    folder.mkdir(parents=True)
    _set(folder, PEOPLE + task(["TLG00001"]))
    (folder / "TLG00001.xml").write_text(header(["005B"]))
    (folder / "tlg00001.Bin").write_bytes(Record(1, {0: 3}).packed() + Record(2, {0: 4}).packed())
    (folder / "._TASKDATA.XML").write_bytes(b"\x00\x05\x16\x07")
    paths = [folder, zipped(tmp_path / "out", tmp_path / "a.zip"), folder / "TASKDATA.XML"]
    for path in paths:
        record = open_task_data(path).tasks[0]
        assert (record.task.name, record.customer, record.farm, record.field, record.bales) == (
            *("North meadow", "Aldermoor", "Low Farm", "Long Strip"),
            1,
        )


def test_second_set_in_one_folder_is_said(tmp_path: Path) -> None:
    """Of two TASKDATA.XML the higher one is read, the other one named."""
    inner = tmp_path / "older"
    inner.mkdir()
    _set(inner, '<CTR A="CTR1" B="Inner"/>')
    data = open_task_data(_set(tmp_path, PEOPLE))
    assert data.customers[0].name == "Aldermoor"
    assert data.doubts[0].file == "older/TASKDATA.XML"


def test_names_that_are_none_in_broken_xml_are_left_out(tmp_path: Path) -> None:
    """A letter turned into a colon makes a prefix without a namespace: listed, no crash."""
    (tmp_path / "TASKDATA.XML").write_text(document(PEOPLE + '<T:K A="TSK1"/>'))
    data = open_task_data(tmp_path)
    assert [party.name for party in data.customers] == ["Aldermoor"]
    assert "broken XML" in data.refusals[0].reason
