"""The page Prices: for managers; what is set is shown again, what is wrong is told."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own


def test_a_manager_sets_prices_and_nobody_else(desk: Desk) -> None:
    """They are kept with who set them; an empty field stays unknown."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.house_prices import HousePrices, house_prices

    for client in (desk.technician, desk.reader):
        assert client.get("/prices").status_code == 403
        assert desk.post(client, "/prices", hour_money="180").status_code == 403
    given = {"film_roll_money": "75", "film_roll_m": "1500", "currency": "acorns"}
    assert desk.post(desk.manager, "/prices", **given).status_code == 302
    assert house_prices(the_workplace()) == HousePrices(75.0, 1500.0, currency="acorns")
    page = desk.manager.get("/prices").content.decode()
    assert 'value="75.0"' in page
    assert "by mara" in page


def test_wrong_prices_are_told_and_not_kept(desk: Desk) -> None:
    """A price below nothing, a word, and a roll without its metres: each at its field."""
    from balewright.desk.workplace import the_workplace
    from balewright.flows.house_prices import HousePrices, house_prices

    given = {"film_roll_money": "75", "hour_money": "-3", "bale_money": "dear"}
    answer = desk.post(desk.manager, "/prices", **given)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "A roll that has a price needs its metres." in page
    assert page.count("or leave it empty.") == 2
    assert house_prices(the_workplace()) == HousePrices()
