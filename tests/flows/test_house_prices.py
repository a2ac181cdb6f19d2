"""Prices of the house: kept as given, and the review tells findings in money by them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from balewright.findings.worth import Prices
from balewright.flows.house_prices import HousePrices, house_prices, set_house_prices
from balewright.flows.read_today import read_today
from balewright.flows.review_machine import review_machine
from balewright.flows.take_in_file import take_in_file
from balewright.flows.workplace import Workplace
from balewright.quantities.errors import BadInput
from balewright.settings import load_settings, open_workplace
from balewright.store.entries import MachineEntry

NOW = datetime(2031, 6, 2, 18, tzinfo=UTC)
BEGUN = datetime(2031, 6, 1, 6, tzinfo=UTC)


@pytest.fixture
def workplace(tmp_path: Path) -> Iterator[Workplace]:
    """A machine with sixty bales of one morning; the 50th and the 55th burst."""
    opened = open_workplace(load_settings({"BALEWRIGHT_HOME": str(tmp_path / "home")}))
    opened = replace(opened, clock=lambda: NOW, random=np.random.default_rng(1))
    rows = ["machine,bale_no,closed_at,status"]
    for number in range(1, 61):
        at = BEGUN + timedelta(minutes=2 * number)
        status = "burst" if number in (50, 55) else "ok"
        rows.append(f"A-1,{number},{at.isoformat()},{status}")
    path = tmp_path / "bales.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    take_in_file(opened, path)
    opened.register.save_machine(MachineEntry("A-1", "Machine", "mossgrinder-m2"))
    yield opened
    opened.register.close()


@pytest.mark.derived
def test_findings_carry_money_once_prices_are_set(workplace: Workplace) -> None:
    """Without prices nothing is told in money. With 15 for a bale made again, the share of burst
    bales times 15, and Today a day's worth of it; a new price is counted though no record changed,
    and no episode is lost or told anew by it."""

    def seen() -> tuple[str, float, float | None, float | None]:
        (episode,) = review_machine(workplace, "A-1").episodes
        finding = episode.finding
        assert finding.seen is not None
        assert finding.worth is not None
        money = finding.worth.money_bale
        (item,) = read_today(workplace).items
        assert item.key == episode.key
        return (
            f"{episode.key} {episode.told_us}",
            finding.seen.best,
            None if money is None else money.best,
            item.money_day,
        )

    key, share, money, _ = seen()
    assert money is None
    for price in (15.0, 30.0):
        set_house_prices(workplace, HousePrices(bale_money=price))
        again, share, money, money_day = seen()
        assert again == key
        assert money == pytest.approx(share * price)
        # all of it on one morning, which counts as one day: two bales made again
        assert money_day == pytest.approx(2 * price, rel=0.01)
    reviewed = workplace.register.load_reviews()
    review_machine(replace(workplace, clock=lambda: NOW + timedelta(hours=1)), "A-1")
    assert workplace.register.load_reviews() == reviewed


@pytest.mark.own
def test_prices_are_kept_as_given_and_wrong_ones_told(workplace: Workplace) -> None:
    """What nobody gave stays unknown and is no price of nothing; each wrong number is told with
    its range, and nothing of a refused set is kept."""
    assert house_prices(workplace) == HousePrices()
    assert house_prices(workplace).for_findings == Prices()
    given = HousePrices(film_roll_money=75.0, film_roll_m=1500.0, currency="acorns")
    set_house_prices(workplace, given, by="mara")
    assert house_prices(workplace) == given
    wrong = HousePrices(film_roll_money=-1.0, binding_roll_money=9.0, hour_money=float("nan"))
    with pytest.raises(BadInput) as error:
        set_house_prices(workplace, replace(wrong, currency="a very long name"))
    assert [fault.place for fault in error.value.faults] == [
        *("film_roll_money", "hour_money", "film_roll_m", "binding_roll_m", "currency"),
    ]
    assert house_prices(workplace) == given
