"""Every question on every engine gives the same lines, schema and order as plain reading."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pyarrow as pa
import pytest
from tests.store.conformance import cases, plain
from tests.store.conformance.plain import Bale
from tests.store.conformance.questions import ALL, Asked, table

from balewright.quantities.errors import BadInput
from balewright.records.bales import BaleTable, masked_table
from balewright.records.identity import count_known
from balewright.store.arrow import bales_to_arrow
from balewright.store.engine import Engine
from balewright.store.engine_choice import open_engine
from balewright.store.journal import Journal

every_question = pytest.mark.parametrize("asked", ALL, ids=lambda asked: asked.name)


@pytest.fixture(scope="module")
def bales() -> list[Bale]:
    """The bales of every case by plain reading."""
    rows = cases.files()
    return plain.read_bales({f"{number}" * 64: rows[number] for number in range(len(rows))})


@pytest.fixture(scope="module")
def spark(spark_address: str, home_of_both: dict[str, Journal]) -> dict[str, Engine]:
    """Both journals, asked over Spark."""
    return {name: open_engine(one, spark_address) for name, one in home_of_both.items()}


def _same(answer: pa.Table, asked: Asked, expected: list[dict[str, object]]) -> None:
    assert answer.schema == asked.question.schema
    assert answer.to_pylist() == expected


@pytest.mark.law
@every_question
def test_duckdb_and_plain_reading_agree(asked: Asked, full: Journal, bales: list[Bale]) -> None:
    """Null, ties, overflow, changed clocks, negative times, odd texts, many machines: equal."""
    _same(Engine(full).ask(asked.question), asked, asked.plain(bales))


@pytest.mark.law
@every_question
def test_duckdb_answers_of_an_empty_journal(asked: Asked, empty: Journal) -> None:
    """Where nothing was taken in, the answer is empty and has its schema."""
    _same(Engine(empty).ask(asked.question), asked, [])


@pytest.mark.reference
@pytest.mark.spark
@every_question
def test_spark_and_duckdb_agree(
    asked: Asked, full: Journal, spark: dict[str, Engine], bales: list[Bale]
) -> None:
    """The same question over Spark Connect: equal lines in equal order, and as read plainly."""
    answer = spark["full"].ask(asked.question)
    assert answer.equals(Engine(full).ask(asked.question))
    _same(answer, asked, asked.plain(bales))


@pytest.mark.reference
@pytest.mark.spark
@every_question
def test_spark_answers_of_an_empty_journal(asked: Asked, spark: dict[str, Engine]) -> None:
    """Where nothing was taken in, the answer is empty and has its schema."""
    _same(spark["empty"].ask(asked.question), asked, [])


@pytest.mark.reference
@pytest.mark.spark
def test_kernels_over_spark_give_what_they_give_here(
    full: Journal, spark: dict[str, Engine]
) -> None:
    """A function of the core, mapped over buckets in Spark's Python workers: bit for bit equal."""
    here = list(Engine(full).map_buckets(count_known, ["machine", "mass_kg", "tipped_at"]))
    there = list(spark["full"].map_buckets(count_known, ["machine", "mass_kg", "tipped_at"]))
    assert len(here) > 30
    assert [one.tolist() for one in here] == [one.tolist() for one in there]
    assert list(spark["empty"].map_buckets(count_known)) == []


@pytest.mark.own
def test_the_page_tells_what_was_compared(bales: list[Bale], root: Path) -> None:
    """docs/engines.md shows the table of this very run."""
    expected = table(bales)
    assert expected in (root / "docs" / "engines.md").read_text(), f"put there:\n{expected}"


@pytest.mark.law
def test_cases_hold_what_they_are_named_for(bales: list[Bale]) -> None:
    """A case that lost its trouble would prove nothing."""
    of: dict[str, list[Bale]] = {case: [] for case in cases.CASES}
    for one in bales:
        of[cases.case_of(one.value("machine"))].append(one)
    assert all(of.values())
    assert any(one.value("mass_kg") is None for one in of["null"])
    assert any(len({line.known for line in one.lines}) < len(one.lines) for one in of["ties"])
    assert sum((one.value("mass_kg") or 0) * 1000 for one in of["overflow"]) > 2**31
    days = [line["day"] for line in plain.book(of["daylight"], cases.zones())]
    utc = [line["day"] for line in plain.book(of["daylight"], {})]
    assert days != utc
    assert min(one.time or 0 for one in of["negative"]) < 0
    names = sorted({str(one.value("machine")) for one in of["unicode"]})
    wide = [name.encode("utf-16-be") for name in names]
    assert any(after < before for before, after in pairwise(wide))
    assert len({one.value("machine") for one in of["machines"]}) == 60


@pytest.mark.law
def test_a_nan_never_reaches_an_engine() -> None:
    """Engines order and compare NaN differently: a known one is refused before it is written."""
    mass_kg = np.array([600.0, np.nan])
    table: BaleTable = masked_table(2, {"mass_kg": mass_kg}, {"mass_kg": np.array([True, True])})
    with pytest.raises(ValueError, match="NaN"):
        bales_to_arrow(table)


@pytest.mark.own
@pytest.mark.parametrize(
    "address",
    ["sc://", "http://host:15002", "sc://host:port", "sc://host:99999", "sc://h;x=1", "spark"],
)
def test_a_wrong_address_is_refused_without_telling_its_token(address: str) -> None:
    """A slip is told with its cure; what may hold a secret is not repeated."""
    from balewright.settings import load_settings

    with pytest.raises(BadInput) as refused:
        load_settings({"BALEWRIGHT_ENGINE": f"{address}/;token=hush"})
    (fault,) = refused.value.faults
    assert fault.place == "BALEWRIGHT_ENGINE"
    assert "sc://host:15002" in fault.need
    assert "hush" not in str(refused.value)


@pytest.mark.own
def test_a_server_that_does_not_answer_is_told_at_once(empty: Journal) -> None:
    """Nobody waits minutes for a server that is not there."""
    with pytest.raises(BadInput) as refused:
        open_engine(empty, "sc://127.0.0.1:9")
    assert refused.value.faults[0].place == "BALEWRIGHT_ENGINE"
    assert "connection refused" in refused.value.faults[0].given
