"""What is behind it: from words to a ranking and the next step, without a script and without a
case; what it costs; the fault network; lessons.
"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from tests.desk.finding_records import SERIAL, keep_machine, key_of_pressure

from balewright.quantities.reason import because

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

pytestmark = pytest.mark.own
AT = f"/machines/{SERIAL}/causes"
TYPE = "/causes?profile=mossgrinder-m2"


@pytest.fixture
def records(desk: Desk, tmp_path: Path) -> str:
    """Machine Q-7, whose pressure fell; the key of that finding."""
    from balewright.desk.workplace import the_workplace

    keep_machine(the_workplace(), tmp_path)
    return key_of_pressure(the_workplace())


def text_of(answer: Any) -> str:
    """A page's words without its tags."""
    page = re.sub(r"<style.*?</style>|<script.*?</script>", "", answer.content.decode(), flags=re.S)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", page)))


def asked_check(page: str) -> str:
    """Key of the check on the card."""
    found = re.search(r'name="yes" value="(\w+)">Yes<', page)
    assert found is not None
    return found[1]


def open_checks(page: str) -> list[str]:
    """Keys of the checks that would change most, most first."""
    return re.findall(r"look=(\w+)#next", page)


def test_records_speak_first_and_cautions_stand_before_everything(desk: Desk, records: str) -> None:
    """The finding is taken as evidence and leads to its page; the manual and the step's cautions
    come before the step, the ranking says why and whose side a cause is on.
    """
    answer = desk.reader.get(AT)
    page, said = answer.content.decode(), text_of(answer)
    assert answer.status_code == 200
    assert f"/findings/{records.replace(' ', '%20')}" in page
    order = [page.index(f'id="{name}"') for name in ("first-of-all", "next", "ranking")]
    assert order == sorted(order)
    assert said.index("own manual") < said.index("Likely causes")
    assert "It fits: " in said
    assert re.search(r'<rect class="bar-part" width="[1-9]', page)
    assert 'style="' not in page
    assert "Open a case" not in said  # a reader only looks
    assert f'href="{AT}"' in desk.reader.get(f"/findings/{records}").content.decode()
    assert f'href="{AT}"' in desk.reader.get(f"/machines/{SERIAL}").content.decode()


def test_words_become_reports_and_answers_stand_in_the_address(desk: Desk) -> None:
    """German words find the report; ticked it ranks; no, cannot tell and a number are taken, each
    can be taken back, and nothing is kept.
    """
    from balewright.desk.workplace import the_workplace

    heard = desk.reader.get(f"{TYPE}&said=Folie+rei%C3%9Ft+dauernd").content.decode()
    assert 'name="yes" value="film_breaks_often"' in heard[heard.index('id="heard"') :]
    part = desk.reader.get("/causes/heard?profile=mossgrinder-m2&said=Folie+rei%C3%9Ft")
    assert 'value="film_breaks_often"' in part.content.decode()
    assert "<html" not in part.content.decode()
    first = desk.reader.get(f"{TYPE}&yes=film_breaks_often").content.decode()
    key = open_checks(first)[0]
    after = desk.reader.get(f"{TYPE}&yes=film_breaks_often&no={key}").content.decode()
    assert key not in open_checks(after)
    assert 'href="?profile=mossgrinder-m2&amp;yes=film_breaks_often"' in after  # taken back
    told = text_of(desk.reader.get(f"{TYPE}&yes=film_breaks_often&cannot={key}&yes=bale_is_green"))
    assert "cannot tell" in told
    assert "Left out, as this machine has no such thing: bale_is_green" in told
    assert the_workplace().register.load_cases() == ()


def test_a_number_is_read_with_point_or_comma_and_told_when_it_is_none(desk: Desk) -> None:
    """A check that reads a number takes 12,5 as 12.5; a word is refused beside its field."""
    from balewright.readers.fault_network import shipped_network

    key = next(one.key for one in shipped_network().observations
               if one.check is not None and one.check.reading is not None
               and not one.exists_if)  # fmt: skip
    at = f"{TYPE}&yes=film_breaks_often&on={key}"
    answer = desk.reader.get(f"{at}&number=12,5")
    assert answer.status_code == 302
    assert f"read={key}%3A12.5" in answer["Location"]
    assert "12.5" in text_of(desk.reader.get(answer["Location"].partition("#")[0]))
    wrong = desk.reader.get(f"{at}&number=much")
    assert wrong.status_code == 422


def test_any_check_can_be_chosen_and_costs_follow_what_stands_now(desk: Desk) -> None:
    """A check from the list goes onto the card with its cautions; a technician who is there makes
    no way; without the price of an hour the answer is in time, with it in money.
    """
    page = desk.reader.get(f"{TYPE}&yes=film_breaks_often").content.decode()
    for other in open_checks(page)[:3]:
        chosen = desk.reader.get(f"{TYPE}&yes=film_breaks_often&look={other}")
        assert asked_check(chosen.content.decode()) == other
    assert "You chose to look at this" in text_of(chosen)
    assert "What an hour of a technician costs is not known" in unescape(page)
    assert desk.post(desk.technician, "/service-costs", hour_money="80").status_code == 403
    assert desk.post(desk.manager, "/service-costs", hour_money="-1").status_code == 422
    costs = {"hour_money": "80", "bale_money": "15"}
    assert desk.post(desk.manager, "/service-costs", **costs).status_code == 302
    assert 'value="80.0"' in desk.manager.get("/service-costs").content.decode()
    dear = text_of(desk.reader.get(f"{TYPE}&yes=pressure_swings"))
    assert "What an hour of a technician costs is not known" not in dear
    there = text_of(desk.reader.get(f"{TYPE}&yes=pressure_swings&there=technician"))
    rain = text_of(desk.reader.get(f"{TYPE}&yes=pressure_swings&standing_bales=20&rain_in_h=3"))

    def total(said: str) -> float:
        found = re.search(r"Until the machine bales well again: ([\d.\s]+)", said)
        assert found is not None
        return float(re.sub(r"\s", "", found[1]).rstrip("."))

    assert total(there) < total(dear) < total(rain)
    assert "Bales that lie open 20" in rain


def test_a_repair_that_did_not_help_lowers_its_cause(desk: Desk) -> None:
    """The first cause, put right while the trouble went on, stands first no longer; the page says
    what was put right, and the case that is opened then holds it as found, repaired, gone on.
    """
    from balewright.desk.workplace import the_workplace
    from balewright.flows.read_case_of import read_case_of
    from balewright.store.entries import MachineEntry

    the_workplace().register.save_machine(MachineEntry("B-2", "Beryl", "mossgrinder-m2"))
    at = "/machines/B-2/causes?yes=pressure_swings"

    def ranked(page: str) -> list[str]:
        return re.findall(r'href="/network/(\w+)\?language', page)

    first = ranked(desk.reader.get(at).content.decode())[0]
    after = desk.reader.get(f"{at}&put_right={first}")
    assert ranked(after.content.decode())[0] != first
    assert "Put right already, and the trouble went on" in text_of(after)
    sent = {"machine": "B-2", "yes": "pressure_swings", "put_right": first}
    key = desk.post(desk.technician, "/cases/open", **sent)["Location"].partition("case=")[2]
    case = read_case_of(the_workplace(), key.partition("#")[0]).case
    assert (case.state.value, case.causes[0].cause, len(case.repairs)) == ("open", first, 1)
    assert (
        ranked(desk.reader.get(f"/machines/B-2/causes?case={case.key}").content.decode())[0]
        != first
    )
    page = desk.reader.get(f"/machines/B-2/causes?case={case.key}").content.decode()
    second, at = ranked(page)[0], f"/cases/{case.key}/righted"
    assert desk.post(desk.reader, at, cause=second, helped="no").status_code == 403
    went = desk.post(desk.technician, at, cause=second, helped="no", query=f"?case={case.key}")
    assert went["Location"].endswith(f"?case={case.key}#next")
    desk.post(desk.technician, at, cause=second, helped="yes")
    case = read_case_of(the_workplace(), case.key).case
    assert (case.state.value, len(case.repairs)) == ("repaired", 3)
    sent = {"machine": "B-2", "yes": "pressure_swings", "helped": first}
    at = desk.post(desk.technician, "/cases/open", **sent)["Location"]
    helped = read_case_of(the_workplace(), at.split("/")[2].partition("#")[0]).case
    assert (helped.state.value, helped.causes[0].cause) == ("repaired", first)


def test_names_and_steps_come_in_four_languages(desk: Desk) -> None:
    """The page stays English; what a technician reads out is in the language chosen, cautions
    with the English beside them while nobody has read the translation.
    """
    look = "look=roll_dented_1"
    page = desk.reader.get(f"{TYPE}&yes=film_breaks_often&{look}&language=de").content.decode()
    assert 'lang="de"' in page
    assert "Die Folie reißt oft" in page
    assert "Before anyone reaches in" in page
    assert '<html lang="en">' in page


def test_what_cannot_be_told_is_said_plainly(desk: Desk, records: str) -> None:
    """No answers: the page asks; nobody's machine: no such page; another type: told."""
    said = text_of(desk.reader.get(TYPE))
    assert "What does it do?" in said
    assert "Likely causes" not in said
    weak = text_of(desk.reader.get(f"{TYPE}&yes=film_breaks_often"))
    assert "Not enough to tell" in weak
    assert desk.reader.get("/machines/NOBODY/causes").status_code == 404
    assert desk.reader.get("/causes?profile=nothing").status_code == 404
    assert desk.reader.get(f"{AT}?case=C-nothing").status_code == 404
    assert desk.nobody.get(AT).status_code == 302
    assert desk.without_role.get(AT).status_code == 403


def test_the_network_is_browsed_and_searched(desk: Desk) -> None:
    """Every cause stands under its system; all words of a search are met; a cause shows numbers,
    links with their reasons and what comes first.
    """
    from balewright.readers.fault_network import shipped_network

    network = shipped_network()
    page = desk.reader.get("/network").content.decode()
    assert all(f'href="/network/{one.key}"' in page for one in network.causes)
    found = desk.reader.get("/network?q=netzbremse").content.decode()
    assert 'href="/network/net_brake_weak"' in found
    assert 'href="/network/battery_weak"' not in found
    assert "Try fewer" in text_of(desk.reader.get("/network?q=zzzz+yyyy"))
    one = network.cause("net_brake_weak")
    said = text_of(desk.reader.get("/network/net_brake_weak"))
    assert one.grounds.why in said
    for link in network.shows[one.key]:
        assert network.observation(link.on).words.in_language("en") in said
        assert link.grounds.why in said
    assert "Before anyone reaches in" in said
    assert desk.reader.get("/network/nothing").status_code == 404
    plain = desk.reader.get("/network?profile=plainrow-p0").content.decode()
    assert "/network/net_brake_weak?profile=plainrow-p0" in plain
    assert "wrapper_motor" not in plain
    assert desk.reader.get("/network/net_brake_weak?profile=plainrow-p0").status_code == 200


def test_the_network_shows_no_check_without_what_comes_first(desk: Desk) -> None:
    """On the page of a cause each check's cautions stand before its steps, with who may make it and
    whether the machine stands.
    """
    from balewright.readers.fault_network import shipped_network
    from balewright.words.say import say

    network = shipped_network()
    for key in ("density_cylinder_leaks", "net_brake_weak", "transfer_cylinder_leaks"):
        said = text_of(desk.reader.get(f"/network/{key}"))
        for link in network.shows[key]:
            check = network.observation(link.on).check
            if check is None:
                continue
            steps = said.index(check.how.in_language("en"))
            for caution in check.cautions:
                if caution != "caution.none":
                    first = say(because(caution))
                    assert first in said[:steps], (key, link.on, caution)
            after = said[steps + len(check.how.in_language("en")) :][:80]
            assert ("PTO off, engine stopped" in after) == check.at_rest
