"""`balewright read` as a technician types it: answers, tables, refusals, exit codes."""

from __future__ import annotations

import json
import os
import zipfile
from pathlib import Path
from typing import Any

import pytest
from tests.readers.task_data.making import MadeSet, counting, task

from balewright.cli.entry import run

pytestmark = pytest.mark.derived


def _made(folder: Path) -> Path:
    """Two tasks: one with two bales, one whose log is lost."""
    folder.mkdir(exist_ok=True)
    made = MadeSet(folder, [task(["TLG00001"]), task(["TLG00009"], "TSK2", "Lost")])
    made.log("TLG00001", counting([(60, 1, 800), (120, 2, 1610)]))
    return made.write()


def _asked(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    code = run(["read", *words, "--json"])
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return code, answer


def test_json_answers_task_by_task(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Name, logs, rows, bales, mass, refused and doubtful of each task; unknown is null."""
    code, answer = _asked(capsys, str(_made(tmp_path / "set")))
    assert code == 0
    assert (answer["balewright"], answer["version"]) == ("read", 1)
    first, lost = answer["tasks"]
    assert {
        name: first[name] for name in ("name", "customer", "logs", "rows", "bales", "mass_kg")
    } == {
        "name": "North meadow",
        "customer": "Aldermoor",
        "logs": 1,
        "rows": 4,
        "bales": 2,
        "mass_kg": 1610.0,
    }
    assert (lost["bales"], lost["mass_kg"], lost["logs"], lost["rows"]) == (None, None, 0, 0)
    assert lost["refused"][0]["file"] == "TLG00009"
    assert answer["devices"][0]["serial"] == "RB-7"


def test_strict_makes_a_refusal_exit_code_two(tmp_path: Path) -> None:
    """What was refused is listed with 0; with --strict the same ends with 2."""
    folder = str(_made(tmp_path / "set"))
    assert run(["read", folder]) == 0
    assert run(["read", folder, "--strict"]) == 2


def test_table_names_tasks_refusals_and_doubts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """People get a table of tasks and one line for each thing refused or doubted."""
    assert run(["read", str(_made(tmp_path / "set"))]) == 0
    out = capsys.readouterr().out
    assert "North meadow  Aldermoor  Low Farm  Long Strip  1     4     2      1610" in out
    assert "Refused: 1\n  TLG00009, whole log: no header (.XML) and no binary part (.BIN)" in out


def test_csv_of_bales_is_summed_up(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A bale CSV answers with kept and refused rows; it has no tasks."""
    path = tmp_path / "bales.csv"
    path.write_text("machine,bale_no,mass_kg\nRB-7,1,800\nRB-7,2,-5\n")
    code, answer = _asked(capsys, str(path))
    assert (code, answer["tasks"], answer["bales"]) == (0, [], 1)
    assert answer["machines"] == {"RB-7": 1}
    assert len(answer["refused"]) == 1


def _write_zip(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in members.items():
            packed.writestr(name, data)
    return path


def _bad(kind: str, folder: Path) -> Path:
    """One broken input of each kind."""
    path = folder / kind
    if kind == "missing.zip":
        return path
    if kind == "empty folder":
        path.mkdir()
    elif kind == "bomb.zip":
        _write_zip(path, {"TASKDATA.XML": bytes(30 << 20)})
    elif kind == "escape.zip":
        _write_zip(path, {"../TASKDATA.XML": b"<ISO11783_TaskData/>"})
    elif kind == "entities.xml":
        path.write_text('<!DOCTYPE a [<!ENTITY b "c">]><ISO11783_TaskData>&b;</ISO11783_TaskData>')
    elif kind == "cut off.zip":
        whole = _write_zip(path, {"TASKDATA.XML": os.urandom(5000)}).read_bytes()
        path.write_bytes(whole[:2000])
    elif kind == "junk.zip":
        path.write_bytes(os.urandom(4000))
    elif kind in {"300 MB.xml", "300 MB.zip"}:
        with path.open("wb") as stream:
            stream.truncate(300 << 20)
    else:
        path.write_bytes(b"")
    return path


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("missing.zip", "Check the path"),
        ("empty folder", "Give the folder that holds TASKDATA.XML"),
        ("empty.xml", "Give the folder that holds TASKDATA.XML"),
        ("empty.zip", "Give the folder that holds TASKDATA.XML"),
        ("junk.zip", "Give the folder that holds TASKDATA.XML"),
        ("cut off.zip", "Copy it again"),
        ("bomb.zip", "zip bomb"),
        ("escape.zip", "Give the folder that holds TASKDATA.XML"),
        ("entities.xml", "entity bomb"),
        ("300 MB.xml", "at most 64 MiB"),
        ("300 MB.zip", "Give the folder that holds TASKDATA.XML"),
    ],
)
def test_bad_input_ends_with_two_and_the_cure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], kind: str, said: str
) -> None:
    """No trace, exit code 2, and a message that names the file and what to do."""
    assert run(["read", str(_bad(kind, tmp_path))]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert "Traceback" not in captured.err
    assert kind.partition(".")[0] in captured.err or "TASKDATA.XML" in captured.err


@pytest.mark.derived
def test_a_table_of_junk_is_counted_whole_and_listed_in_part(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """25 refused lines and 24 repeats: the totals say so, the lists hold the first 10 each."""
    monkeypatch.setattr("balewright.flows.read_file.SHOWN", 10)
    path = tmp_path / "junk.csv"
    rows = ["A,7\n"] * 25 + ["A,many\n"] * 25
    path.write_text("machine,bale_no\n" + "".join(rows))
    code, answer = _asked(capsys, str(path))
    assert (code, answer["bales"]) == (0, 25)
    assert (answer["refused_total"], answer["doubtful_total"]) == (25, 24)
    assert [len(answer[name]) for name in ("refused", "doubtful")] == [10, 10]
    assert answer["refused"][0]["place"] == "line 27, column bale_no"
    run(["read", str(path)])
    assert "Refused: 25" in capsys.readouterr().out


@pytest.mark.own
def test_a_table_of_too_many_machines_names_the_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A wrong column under `machine` fills no memory; the bales of the rest are counted."""
    monkeypatch.setattr("balewright.flows.read_file.MAX_MACHINES", 3)
    path = tmp_path / "many.csv"
    path.write_text("machine,bale_no\n" + "".join(f"M{n},{n}\n" for n in range(10)))
    _, answer = _asked(capsys, str(path))
    assert answer["machines"] == {"M0": 1, "M1": 1, "M2": 1}
    assert (answer["bales"], answer["machines_more"]) == (10, 7)


def test_what_devices_can_log_and_what_was_on_a_task_is_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The machine that counts bales stands first, part by part; allocations with their times; of a
    person the identifier in the file only."""
    spreader = (
        '<DVC A="DVC2" B="Spreader"><DET A="DET9" B="1" C="1" D="Boom" E="0" F="0">'
        '<DOR A="2"/></DET><DPD A="2" B="0074" C="2" D="16" E="Area"/></DVC>'
    )
    baler = (
        '<DVC A="DVC1" B="Round One"><DET A="DET1" B="1" C="1" D="Baler" E="0" F="0"/>'
        '<DET A="DET2" B="3" C="2" D="Chamber" E="1" F="1"><DOR A="2"/></DET>'
        '<DPD A="2" B="005B" C="2" D="24" E="Bales"/></DVC>'
    )
    made = MadeSet(tmp_path, device=spreader + baler)
    stamp = '<ASP A="2031-06-16T10:00:00Z" C="60" D="4"/>'
    made.tasks.append(
        f'<TSK A="TSK1" B="North" G="4"><DAN C="DVC1">{stamp}</DAN>'
        f'<WAN A="WKR1">{stamp}</WAN></TSK>'
    )
    assert run(["read", str(made.write('<WKR A="WKR1" B="Somebody"/>'))]) == 0
    out = capsys.readouterr().out
    first, second = (
        line.split() for line in out.splitlines() if line.startswith("DVC") and "total" in line
    )
    assert (first[0], second[0]) == ("DVC1", "DVC2")
    assert "Baler / Chamber" in out
    assert "on change, total" in out
    assert "North: device Round One, 2031-06-16 10:00:00 to 2031-06-16 10:01:00" in out
    assert "North: worker WKR1" in out
    assert "Somebody" not in out
