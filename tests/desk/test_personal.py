"""The page Personal data: for managers; it shows, asks to be sure, and erases."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own
ROWS = "machine,bale_no,operator,tipped_at\nH-1,1,Orla Thimbleby,2031-06-14T09:00:00Z\n"


def _take_in(desk: Desk) -> None:
    from balewright.desk.workplace import the_workplace
    from balewright.flows.take_in_file import take_in_file

    file = desk.home / "june.csv"
    file.write_text(ROWS)
    take_in_file(the_workplace(), file)
    file.unlink()


def test_only_a_manager_opens_it(desk: Desk) -> None:
    """Manager yes; everybody else no, by any of its addresses."""
    assert desk.manager.get("/personal").status_code == 200
    for url in ("/personal", "/personal/rule", "/personal/held", "/personal/erase"):
        for client in (desk.technician, desk.reader):
            assert client.get(url).status_code in (403, 405)
            assert desk.post(client, url, kind="operator", subject="x").status_code in (403, 405)


def test_somebody_is_found_and_erased_only_when_sure(desk: Desk) -> None:
    """The count is shown, a wrong word erases nothing, the right one does; both are noted."""
    _take_in(desk)
    asked = {"kind": "operator", "subject": "Orla Thimbleby"}
    page = desk.post(desk.manager, "/personal/held", **asked).content.decode()
    assert "bales.operator" in page
    refused = desk.post(desk.manager, "/personal/erase", **asked, sure="yes")
    assert refused.status_code == 422
    assert "Write ERASE in capitals" in refused.content.decode()
    assert "bales.operator" in desk.post(desk.manager, "/personal/held", **asked).content.decode()
    assert desk.post(desk.manager, "/personal/erase", **asked, sure="ERASE").status_code == 302
    page = desk.post(desk.manager, "/personal/held", **asked).content.decode()
    assert "Nothing is held." in page
    assert "Erased: operator" in page
    assert "see held: operator" in page


def test_a_question_without_a_name_is_told(desk: Desk) -> None:
    """Nothing would mean everybody; the field says what it needs."""
    answer = desk.post(desk.manager, "/personal/held", kind="customer", subject="")
    assert answer.status_code == 422
    assert "Write the name as the records have it." in answer.content.decode()


def test_the_rule_is_set_and_a_wrong_one_told(desk: Desk) -> None:
    """400 days is kept; 3 days is refused with the reason."""
    assert desk.post(desk.manager, "/personal/rule", days="400").status_code == 302
    assert 'value="400"' in desk.manager.get("/personal").content.decode()
    answer = desk.post(desk.manager, "/personal/rule", days="3")
    assert answer.status_code == 422
    assert "Give whole days from 30 to 36500, or nothing." in answer.content.decode()
    assert desk.post(desk.manager, "/personal/let-go").status_code == 302


def test_an_account_goes_with_its_sign_in_but_never_ones_own(desk: Desk) -> None:
    """Tove cannot sign in any more; Mara, who asked, still is who she is."""
    from django.contrib.auth import get_user_model

    for name in ("tove", "mara"):
        asked = {"kind": "account", "subject": name, "sure": "ERASE"}
        desk.post(desk.manager, "/personal/erase", **asked)
    names = set(get_user_model().objects.values_list("username", flat=True))
    assert "tove" not in names
    assert "mara" in names
