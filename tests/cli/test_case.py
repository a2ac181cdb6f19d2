"""`balewright case`: from the call to the share, each deed one more entry."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from balewright.cli.entry import BAD_INPUT, GOOD, run
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

pytestmark = pytest.mark.own


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A workplace that knows one machine."""
    place = tmp_path / "home"
    monkeypatch.setenv("BALEWRIGHT_HOME", str(place))
    workplace = open_workplace(load_settings({"BALEWRIGHT_HOME": str(place)}))
    workplace.register.save_machine(MachineEntry("A-1", "Amber", "mossgrinder-m2"))
    workplace.register.close()
    return place


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """What the command answers as JSON."""
    capsys.readouterr()
    assert run(["case", *words, "--json"]) == GOOD
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.usefixtures("home")
def test_a_case_is_kept_by_command(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Answers before and after the opening, one taken back, cause, repair, link, closing; two
    readings of one check both stay.
    """
    opened = asked(capsys, "open", "--machine", "A-1", "--complaint", "Film tears",
                   "--yes", "film_breaks_often", "--no", "roll_dented_1")  # fmt: skip
    key = opened["case"]
    assert (opened["state"], opened["machine"]) == ("open", "A-1")
    assert [one["on"] for one in opened["readings"]] == ["film_breaks_often", "roll_dented_1"]
    twice = asked(capsys, "answer", key, "--yes", "roll_dented_1")
    assert [one["said"] for one in twice["readings"]] == ["yes", "no", "yes"]
    wrong = twice["readings"][1]["entry"]
    back = asked(capsys, "back", key, "--entry", wrong)
    assert [one["said"] for one in back["readings"]] == ["yes", "yes"]
    assert back["withdrawn"] == [wrong]
    asked(capsys, "cause", key, "--cause", "film_roll_damaged_1")
    done = asked(capsys, "repaired", key, "--words", "New roll", "--part", "roll=2", "tape",
                 "--minutes", "12", "--at-bale", "40")  # fmt: skip
    (repair,) = done["repairs"]
    assert repair["parts"] == [{"part": "roll", "count": 2}, {"part": "tape", "count": 1}]
    assert (repair["minutes"], repair["at_bale"]) == (12, 40)
    assert done["proof"]["outcome"] == "said"  # without records a word is no proof
    link = asked(capsys, "share", key, "--kind", "read", "--days", "3")["link"]
    assert link["way"].startswith("/d/")
    pdf = tmp_path / "case.pdf"
    asked(capsys, "print", key, "--out", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF")
    assert asked(capsys, "close", key)["state"] == "closed"
    (line,) = asked(capsys, "list", "--machine", "A-1")["cases"]
    assert (line["case"], line["cause"], line["proof"]) == (key, "film_roll_damaged_1", "said")
    assert run(["case", "show", key]) == GOOD
    assert "Roll in dispenser 1 is dented or cut" in capsys.readouterr().out


@pytest.mark.usefixtures("home")
def test_a_phones_file_is_taken_in_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Its entries join the case; taken in again nothing is new; another file is told apart."""
    from balewright.cause.case.entry import Entry
    from balewright.cause.case.payload import fields_of
    from balewright.readers.case_lines import write_case_lines

    key = asked(capsys, "open", "--machine", "A-1", "--complaint", "Film tears")["case"]
    said = Entry("phone-entry-1", key, "phone", 1, 9, "check read",
                 fields_of(check="roll_dented_1", seen="yes"), by="Bero")  # fmt: skip
    place = tmp_path / "case.jsonl"
    place.write_bytes(write_case_lines((said,), {}))
    assert asked(capsys, "take-in", str(place))["new"] == 1
    assert asked(capsys, "take-in", str(place))["new"] == 0
    (reading,) = asked(capsys, "show", key)["readings"]
    assert reading["said"] == "yes"
    place.write_text("no case\n")
    assert run(["case", "take-in", str(place)]) == BAD_INPUT


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fly",), "DEED: needs one of"),
        (("show",), "CASE: needs a case"),
        (("show", "C-0"), "needs the key of a kept case"),
        (("open",), "--machine: needs a serial"),
        (("open", "--machine", "A-1"), "needs what the case is about"),
        (("open", "--machine", "A-1", "--yes", "bale_is_green"), "an observation of the network"),
        (("answer", "C-0"), "needs an answer"),
        (("cause", "C-0", "--cause", "gremlins"), "a cause of the network"),
        (("repaired", "C-0"), "needs what was done"),
        (("print", "C-0"), "--out: needs a file"),
    ],
)
def test_what_cannot_be_done_is_told(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    """Place, need and cure, and nothing is written."""
    assert run(["case", *words]) == BAD_INPUT
    assert said in capsys.readouterr().err
    assert asked(capsys, "list")["cases"] == []
