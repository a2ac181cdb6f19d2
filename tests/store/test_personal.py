"""The list of personal data is complete: nothing is kept that nobody has looked at."""

from __future__ import annotations

import re
from pathlib import Path

import pyarrow as pa
import pytest

import balewright
from balewright.store.arrow import FILE_SCHEMAS
from balewright.store.entries import Dataset
from balewright.store.personal import HOLDINGS, NOT_PERSONAL
from balewright.store.register import open_register

POSITIONS = ("lat", "lon")
LOOKED_INTO = {"journal", "register.sqlite3"}
"""Their columns and fields stand in the list one by one."""
NO_PERSONAL_FOLDER = {"static", "bundle", "chart-stamp", "cache", "secret_key"}


def _columns() -> set[str]:
    """Texts of the journal, and positions; `bales` stands for what is made of it too."""
    return {
        f"{'events' if dataset is Dataset.EVENTS else 'bales'}.{field.name}"
        for dataset in (Dataset.BALES, Dataset.EVENTS)
        for field in FILE_SCHEMAS[dataset]
        if pa.types.is_string(field.type) or field.name in POSITIONS
    }


def _fields(tmp_path: Path) -> set[str]:
    """Texts, JSON, references and bytes of the register."""
    with open_register(tmp_path / "register.sqlite3"):
        from django.apps import apps

        kinds = {"CharField", "TextField", "JSONField", "ForeignKey", "BinaryField"}
        return {
            f"{model._meta.model_name}.{field.name}"
            for model in apps.get_app_config("store").get_models()
            for field in model._meta.fields
            if field.get_internal_type() in kinds
        }


def _folders() -> set[str]:
    """Names that the program makes in its home."""
    source = Path(balewright.__file__).parent.rglob("*.py")
    text = "".join(path.read_text(encoding="utf-8") for path in source)
    return set(re.findall(r"""(?:home|_HOME) / "([\w.-]+)""", text))


@pytest.mark.law
def test_every_text_that_is_kept_was_looked_at(tmp_path: Path) -> None:
    """Each is in the list of personal data or in the list of what is none, never in both."""
    kept = _columns() | _fields(tmp_path)
    personal = {holding.place for holding in HOLDINGS}
    assert not personal & NOT_PERSONAL
    assert kept - personal - NOT_PERSONAL == set()
    places = _folders() - LOOKED_INTO - NO_PERSONAL_FOLDER | {"backups", "people who sign in"}
    assert places <= personal
    assert personal - kept - places == set(), "places that are not there"
    assert NOT_PERSONAL - kept == set(), "places that are not there"


@pytest.mark.law
def test_each_place_stands_once() -> None:
    """A place in the list twice would be said twice, perhaps differently."""
    assert len({holding.place for holding in HOLDINGS}) == len(HOLDINGS)
