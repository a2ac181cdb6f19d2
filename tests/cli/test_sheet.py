"""`balewright sheet` as a technician types it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from balewright.cards.sheet_json import sheet_from_json
from balewright.cli.entry import run
from balewright.readers.profile import MAKES

JOB = (
    *("sheet", "--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "62%"),
    *("--windrow-kg-m", "4"),
)
ROLL = (
    *(
        "--film-width-mm",
        "750",
        "--film-thickness-um",
        "25",
        "--film-roll-m",
        "1500",
        "--stretch",
        "70%",
    ),
    *("--net-roll-m", "3000"),
)


@pytest.mark.practice
def test_text_answers_with_cautions_first(capsys: pytest.CaptureFixture[str]) -> None:
    """The shell prints the sheet; two rolls take 12 wrap turns for 6 layers (practice)."""
    assert run([*JOB, *ROLL]) == 0
    text = capsys.readouterr().out
    assert text.index("FIRST") < text.index("Forward speed")
    turns = next(row for row in text.splitlines() if row.strip().startswith("Wrap turns"))
    assert turns.split()[2] == "12"


@pytest.mark.own
def test_json_carries_a_version_and_the_whole_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    """The JSON answer reads back as a sheet."""
    assert run([*JOB, *ROLL, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["balewright"] == "sheet"
    assert answer["version"] == 1
    assert answer["id"] is None
    sheet = sheet_from_json(answer["sheet"])
    assert sheet.number("layers") == 6
    assert sheet.machine_serial is None


@pytest.mark.derived
def test_yield_and_width_give_the_windrow(capsys: pytest.CaptureFixture[str]) -> None:
    """3 t DM/ha gathered over 6 m at 45 % DM are 4.00 kg/m."""
    job = [*JOB[:-4], "--moisture", "0.55", "--yield-t-ha", "3", "--gathered-m", "6", "--json"]
    assert run(job) == 0
    sheet = json.loads(capsys.readouterr().out)["sheet"]
    assert sheet["conditions"]["windrow_kg_m"] == pytest.approx(4.0)


@pytest.mark.own
def test_card_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--pdf writes the A5 card."""
    card = tmp_path / "card.pdf"
    assert run([*JOB, *ROLL, "--pdf", str(card)]) == 0
    assert card.read_bytes().startswith(b"%PDF-")
    assert run([*JOB, *ROLL, "--pdf", str(tmp_path / "no" / "card.pdf")]) == 2
    assert "--pdf: needs a file that can be written" in capsys.readouterr().err


@pytest.mark.own
def test_a_profile_file_serves_as_well(capsys: pytest.CaptureFixture[str]) -> None:
    """A path to a profile gives the same answer as its key; a broken one is refused by fault."""
    job = [*JOB, *ROLL, "--json"]
    assert run(job) == 0
    by_key = capsys.readouterr().out
    job[job.index("mossgrinder-m2")] = str(MAKES / "mossgrinder_m2.toml")
    assert run(job) == 0
    assert capsys.readouterr().out == by_key
    job[2] = "gone.toml"
    assert run(job) == 2
    assert "gone.toml: needs a file that can be read" in capsys.readouterr().err


@pytest.mark.own
def test_kept_sheets_and_machines_of_the_register(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """--keep opens the register and gives an id; an unknown serial is refused with the cure."""
    monkeypatch.setenv("BALEWRIGHT_HOME", str(tmp_path / "home"))
    assert run([*JOB, *ROLL, "--keep"]) == 0
    assert "kept as S-" in capsys.readouterr().out
    asked = ["sheet", "--machine", "TIN-9", *JOB[3:]]
    assert run(asked) == 2
    assert "Add the machine, or name its make instead." in capsys.readouterr().err


@pytest.mark.own
def test_no_database_is_opened_for_a_make(tmp_path: Path) -> None:
    """Without --machine and --keep neither a folder nor a web framework is touched."""
    code = (
        "import sys; from balewright.cli.entry import run;"
        f"code = run({[*JOB, *ROLL]!r});"
        "sys.exit(code or ('django' in sys.modules and 9) or 0)"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, check=False
    )
    assert ended.returncode == 0, ended.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.own
@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--crop", "moss"), "--crop: needs one of grass-silage, haylage, lucerne, hay, straw"),
        (("--moisture", "62"), "Write 62% or 0.62."),
        (("--moisture", "wet"), "--moisture: needs a share"),
        (("--moisture", "nan"), "--moisture: needs a share"),
        (("--slope", "-4%"), "--slope: needs a share"),
        (("--windrow-kg-m", "nan"), "--windrow-kg-m: needs a number from 0.2 to 30"),
        (("--moisture", "95%"), "--moisture: needs moisture from 0.03 to 0.85"),
        (
            ("--film-width-mm", "750"),
            "film: needs --film-thickness-um, --film-roll-m, --stretch too",
        ),
        (("--yield-t-ha", "3"), "windrow: needs --windrow-kg-m, or --yield-t-ha together"),
        (("--profile", "tin"), "profile: needs one of mossgrinder-m2"),
        (("--net-roll-m", "0"), "--net-roll-m: needs a number from 1 to 20000"),
        (("--bales", "0"), "bales: needs a number from 1 to 100000"),
    ],
)
def test_bad_input_ends_with_two_and_the_cure(
    words: tuple[str, str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What cannot be used is named with its cure, never guessed, never a trace."""
    joined = [f"{words[0]}={words[1]}"]
    assert run([*JOB, *joined]) == 2
    said = capsys.readouterr()
    assert message in said.err
    assert "Traceback" not in said.err
    assert said.out == ""
