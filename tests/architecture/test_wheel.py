"""The wheel: what a person who installs it gets is whole, and runs without the source tree."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.law

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src"
LAYERS = (
    *("layers", "--diameter-m", "1.25", "--length-m", "1.23", "--strip-m", "0.60"),
    *("--bale-turn", "0.125", "--turns", "12", "--json"),
)
SHEET = (
    *("sheet", "--profile", "mossgrinder-m2", "--crop", "grass-silage", "--moisture", "62%"),
    *("--windrow-kg-m", "4", "--pdf", "card.pdf", "--json"),
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built by the build backend alone: no network, no environment of its own."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (made,) = folder.glob("balewright-*-py3-none-any.whl")
    return made


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, laid out as an installer lays it out."""
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def run_from(folder: Path, cwd: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Python with the unpacked wheel before everything else, and a workplace of its own."""
    env = dict(os.environ, PYTHONPATH=str(folder), BALEWRIGHT_HOME=str(cwd / "home"))
    command = [sys.executable, *words]
    return subprocess.run(command, cwd=cwd, env=env, check=False, capture_output=True, text=True)


def test_wheel_holds_every_file_of_the_package_and_nothing_else(wheel: Path) -> None:
    """Makes, pages, card, dictionary and migrations travel; tests and kept data do not."""
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if ".dist-info/" not in name}
    on_disk = {
        str(file.relative_to(SOURCE))
        for file in (SOURCE / "balewright").rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    assert packed == on_disk
    assert not [name for name in packed if "tests" in Path(name).parts]


@pytest.mark.parametrize(
    ("folder", "ending"),
    [
        ("readers/makes", ".toml"),
        ("readers/task_data", ".csv"),
        ("cards", ".typ"),
        ("desk/templates", ".html"),
        ("desk/static/desk", ".css"),
        ("desk/static/desk", ".js"),
        ("store/migrations", ".py"),
    ],
)
def test_what_is_no_code_is_in_the_wheel(wheel: Path, folder: str, ending: str) -> None:
    """Each kind of file that is read at run time is found where the code looks for it."""
    with zipfile.ZipFile(wheel) as archive:
        inside = [Path(name) for name in archive.namelist()]
    assert [
        file for file in inside
        if str(file.parent) == f"balewright/{folder}" and file.suffix == ending
    ]  # fmt: skip


def test_licence_and_command_are_in_the_wheel(wheel: Path) -> None:
    """The licence text and the command `balewright` stand in what an installer reads."""
    with zipfile.ZipFile(wheel) as archive:
        about = {Path(name).name: name for name in archive.namelist() if ".dist-info/" in name}
        licence = archive.read(about["LICENSE"]).decode()
        commands = archive.read(about["entry_points.txt"]).decode()
    assert licence == (ROOT / "LICENSE").read_text()
    assert "balewright = balewright.__main__:main" in commands


def test_unpacked_wheel_is_what_runs(unpacked: Path, tmp_path: Path) -> None:
    """The runs below are of the wheel, not of the source tree."""
    ran = run_from(unpacked, tmp_path, "-c", "import balewright.__main__ as m; print(m.__file__)")
    assert Path(ran.stdout.strip()) == unpacked / "balewright" / "__main__.py", ran.stderr


def test_layers_answer_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    """Twelve turns of two rolls give 6 layers, from the wheel as from the source."""
    ran = run_from(unpacked, tmp_path, "-m", "balewright", *LAYERS)
    assert ran.returncode == 0, ran.stderr
    assert json.loads(ran.stdout)["thinnest"] == 6


def test_sheet_and_card_come_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    """A shipped make and the card's layout are found in the wheel."""
    ran = run_from(unpacked, tmp_path, "-m", "balewright", *SHEET)
    assert ran.returncode == 0, ran.stderr
    assert json.loads(ran.stdout)["sheet"]["profile_key"] == "mossgrinder-m2"
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")


def test_a_workplace_is_made_from_the_wheel(unpacked: Path, tmp_path: Path) -> None:
    """The migrations in the wheel make a register, and its book is empty."""
    ran = run_from(unpacked, tmp_path, "-m", "balewright", "book", "--json")
    assert ran.returncode == 0, ran.stderr
    assert json.loads(ran.stdout)["bales"] == 0
