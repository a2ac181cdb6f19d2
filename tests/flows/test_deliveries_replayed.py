"""A device's queue replayed after days without signal: in any order, with repeats, one result."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.flows.senders import find_sender, make_sender
from balewright.flows.take_in_delivery import (
    delivery_place,
    keep_delivery,
    stage_delivery,
    sweep_deliveries,
    take_in_delivery,
)
from balewright.flows.workplace import Workplace
from balewright.settings import load_settings, open_workplace
from balewright.store.arriving import DeliveryState

HEAD = "machine,bale_no,counter_epoch,tipped_at,mass_kg\n"


def _row(number: int, mass: str = "600") -> str:
    return f"Z-1,{number},0,2031-06-14T09:{number:02d}:00Z,{mass}\n"


BATCHES = (
    HEAD + _row(1) + _row(2),
    HEAD + _row(3, "") + _row(4),
    HEAD + _row(2) + _row(3, "640"),
    '{"machine": "Z-1", "bale_no": 9, "counter_epoch": 0}\n{"machine": "Z-2", "bale_no": 1}\n',
)


@contextmanager
def _workplace(folder: Path) -> Iterator[Workplace]:
    made = open_workplace(load_settings({"BALEWRIGHT_HOME": str(folder)}))
    yield made
    made.register.close()


def _replay(folder: Path, order: list[tuple[int, bool]]) -> list[tuple[object, ...]]:
    """Hand batches over in that order, some taken in at once, the rest later; the bales."""
    with _workplace(folder) as workplace:
        sender = make_sender(workplace, "Z-1", "box").entry
        waiting = []
        for batch, at_once in order:
            suffix = ".jsonl" if BATCHES[batch].startswith("{") else ".csv"
            body = [BATCHES[batch].encode()]
            staged = stage_delivery(workplace, sender, f"batch-{batch}", suffix, body)
            assert staged is not None
            entry, _ = keep_delivery(workplace, staged)
            waiting.append(entry.id)
            if at_once:
                take_in_delivery(workplace, waiting.pop())
        for delivery in reversed(waiting):
            take_in_delivery(workplace, delivery)
        bales = workplace.journal.read_bales("Z-1")
        assert workplace.journal.read_bales("Z-2").rows == 0
        assert list((workplace.home / "deliveries").iterdir()) == []
        rows = [
            (bales.cell(row, "bale_no"), bales.cell(row, "tipped_at"), bales.cell(row, "mass_kg"))
            for row in range(bales.rows)
        ]
        return sorted(rows, key=str)


@pytest.fixture(scope="module")
def empty_home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home with its tables made, to be copied."""
    folder = tmp_path_factory.mktemp("empty")
    with _workplace(folder):
        pass
    return folder


@pytest.mark.law
@settings(max_examples=5)
@given(
    order=st.permutations(range(len(BATCHES))),
    repeats=st.lists(st.tuples(st.integers(0, len(BATCHES) - 1), st.booleans()), max_size=4),
    at_once=st.lists(st.booleans(), min_size=len(BATCHES), max_size=len(BATCHES)),
)
def test_any_order_with_repeats_gives_the_same_bales(
    tmp_path_factory: pytest.TempPathFactory,
    empty_home: Path,
    order: list[int],
    repeats: list[tuple[int, bool]],
    at_once: list[bool],
) -> None:
    """Five bales, the mass of the third filled in from the batch that knew it."""
    folder = tmp_path_factory.mktemp("home")
    shutil.copytree(empty_home, folder, dirs_exist_ok=True)
    found = _replay(folder, [*repeats, *zip(order, at_once, strict=True)])
    assert [row[0] for row in found] == [1, 2, 3, 4, 9]
    assert found[2][2] == 640


@pytest.mark.own
def test_what_failed_and_is_not_sent_again_goes_after_days(tmp_path: Path) -> None:
    """A delivery that waits stays however long, one that failed goes after three days."""
    with _workplace(tmp_path) as workplace:
        sender = make_sender(workplace, "Z-1", "box").entry
        for key in ("waits", "fails"):
            staged = stage_delivery(workplace, sender, key, ".csv", [BATCHES[0].encode()])
            assert staged is not None
            entry, _ = keep_delivery(workplace, staged)
        workplace.register.end_delivery(entry.id, DeliveryState.FAILED)
        assert sweep_deliveries(workplace) == 0
        later = workplace.clock() + timedelta(days=4)
        assert sweep_deliveries(replace(workplace, clock=lambda: later)) == 1
        (left,) = (tmp_path / "deliveries").iterdir()
        assert left == delivery_place(workplace, entry.id - 1)


@pytest.mark.own
def test_a_token_is_kept_nowhere(tmp_path: Path) -> None:
    """In no file below the home stands the token, and a token off by one letter opens nothing."""
    with _workplace(tmp_path) as workplace:
        made = make_sender(workplace, "Z-1", "box")
        assert find_sender(workplace, made.entry.key, made.token) is not None
        assert find_sender(workplace, made.entry.key, made.token[:-1] + "!") is None
        assert find_sender(workplace, "other", made.token) is None
        assert len(made.token) >= 40
    for path in tmp_path.rglob("*"):
        if path.is_file():
            assert made.token.encode() not in path.read_bytes(), path


@pytest.mark.own
def test_a_delivery_is_forgotten_after_more_than_a_year_and_still_counts_once(
    tmp_path: Path,
) -> None:
    """Its row goes then, one that waits stays; the same batch under the same key is known by its
    content, and no bale stands twice."""
    with _workplace(tmp_path) as workplace:
        sender = make_sender(workplace, "Z-1", "box").entry

        def hand_over(key: str) -> int:
            staged = stage_delivery(workplace, sender, key, ".csv", [BATCHES[0].encode()])
            assert staged is not None
            return keep_delivery(workplace, staged)[0].id

        done, waits = hand_over("done"), hand_over("waits")
        take_in_delivery(workplace, done)
        sweep_deliveries(replace(workplace, clock=lambda: _after(workplace, 399)))
        assert len(workplace.register.load_deliveries(sender.key, 9)) == 2
        sweep_deliveries(replace(workplace, clock=lambda: _after(workplace, 401)))
        assert [one.id for one in workplace.register.load_deliveries(sender.key, 9)] == [waits]
        again = take_in_delivery(workplace, hand_over("done"))
        assert again is not None
        assert again.state is DeliveryState.ALREADY_TAKEN
        assert workplace.journal.read_bales("Z-1").rows == 2


def _after(workplace: Workplace, days: int) -> datetime:
    return workplace.clock() + timedelta(days=days)
