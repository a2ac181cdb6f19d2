"""The case page of a phone and the case shown to a dealer, without a browser."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from django.core.cache import caches
from tests.desk.case_desk import HOST, SERIAL, jpeg_of, link_to, name_of, open_a_case

from balewright.cause.case.payload import fields_of
from balewright.readers.case_lines import write_case_lines
from cause.case.entries_by_hand import entry

if TYPE_CHECKING:
    from tests.desk.conftest import Desk

    from balewright.flows.workplace import Workplace

pytestmark = pytest.mark.own


@pytest.fixture
def workplace(desk: Desk) -> Workplace:
    """The desk's own."""
    from balewright.desk.workplace import the_workplace

    caches["limits"].clear()
    return the_workplace()


def pack_in(html: str) -> dict[str, Any]:
    """The pack that lies in a page."""
    found = re.search(r'<script id="pack" type="application/json">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    return json.loads(found[1])  # type: ignore[no-any-return]


def sent(key: str, *entries: Any, photos: dict[str, bytes] | None = None) -> bytes:
    """What a phone sends."""
    own = [replace(one, case=key, id=f"{one.id}-phone") for one in entries]
    return write_case_lines(tuple(own), photos or {})


def post(desk: Desk, way: str, content: bytes) -> Any:
    """Send it by the link."""
    return desk.nobody.post(f"{way}/entries", content, content_type="application/x-ndjson")


@pytest.mark.parametrize("language", ["en", "pl"])
def test_the_pack_has_every_word_its_checks_need(
    desk: Desk, workplace: Workplace, language: str
) -> None:
    """In each language: under 100 KB, every node leads on or ends, and whatever check, cause, part,
    tool or caution it names has its words in it; cautions come translated with the English beside.
    """
    key = open_a_case(workplace)
    way = link_to(workplace, key)
    answer = desk.nobody.get(f"{way}?language={language}")
    assert (answer.status_code, answer.headers["Content-Language"]) == (200, language)
    assert not answer.cookies
    assert ("Nie wiadomo" in answer.content.decode()) is (language == "pl")
    pack = pack_in(answer.content.decode())
    assert len(json.dumps(pack, ensure_ascii=False).encode()) <= 100_000
    assert pack["network"].startswith("round-baler-wrappers ")
    assert len(pack["nodes"]) > 3
    reached = {0}
    for at, node in enumerate(pack["nodes"]):
        assert at in reached
        ways = {name: node[name] for name in ("yes", "no", "cannot tell") if name in node}
        assert all(to > at for to in ways.values())
        reached |= set(ways.values())
        assert len(ways) == 3 or ("ends" in node and not ways)
        if ways:
            assert pack["checks"][node["check"]]["cautions"]
        assert all(cause in pack["causes"] for cause, _ in node["top"])
        assert "check" not in node or node["check"] in pack["checks"]
    steps = [*pack["checks"].values(), *(one["repair"] for one in pack["causes"].values())]
    for step in steps:
        assert step["cautions"]
        assert set(step["cautions"]) - {"caution.none"} <= pack["cautions"].keys()
        assert set(step["tools"]) <= pack["tools"].keys()
        assert set(step.get("parts", ())) <= pack["parts"].keys()
    beside = {len(texts) for texts in pack["cautions"].values()}
    assert beside == ({1} if language == "en" else {2})


def test_what_a_phone_sends_is_kept_once_and_moves_the_questions(
    desk: Desk, workplace: Workplace
) -> None:
    """Answers, a photo and a broken line: what can be kept is, by its id; the next pack asks
    another question; sent again nothing changes. Another page's link takes nothing, nor does none.
    """
    key = open_a_case(workplace)
    way = link_to(workplace, key)
    first = desk.nobody.get(f"{way}/pack.json").json()["nodes"][0]["check"]
    photo = jpeg_of()
    content = sent(
        key,
        entry(2, "check read", check=first, seen="no"),
        entry(3, "photo", sha256=name_of(photo), words="Roll"),
        photos={name_of(photo): photo},
    )
    for _ in range(2):
        said = post(desk, way, content + b"{}\n").json()
        assert said["kept"] == ["phone-2-phone", "phone-3-phone"]
        assert said["photos"] == [name_of(photo)]
        assert len(said["refused"]) == 1
    pack = desk.nobody.get(f"{way}/pack.json").json()
    assert pack["nodes"][0].get("check") != first
    assert {"on": first, "seen": "no"}.items() <= {
        name: one[name] for one in pack["known"] if one["on"] == first for name in ("on", "seen")
    }.items()
    other = link_to(workplace, open_a_case(workplace))
    refused = post(desk, other, content).json()
    assert (refused["kept"], len(refused["refused"])) == ([], 3)
    assert post(desk, way, b"nonsense").status_code == 422
    assert post(desk, "/c/none", content).status_code == 404
    assert post(desk, link_to(workplace, key, "read"), content).status_code == 404


def test_the_saved_page_needs_nothing_else(desk: Desk, workplace: Workplace) -> None:
    """One file with styles, scripts and pack inside: nothing in it is fetched, and what somebody
    complained of cannot end its script.
    """
    key = open_a_case(workplace, "</script><script>alert(1)</script>")
    answer = desk.nobody.get(f"{link_to(workplace, key)}/page.html")
    assert "attachment" in answer.headers["Content-Disposition"]
    html = answer.content.decode()
    assert not re.search(r'(?:src|href)="(?!#)', html)
    assert "alert(1)</script>" not in html.replace("&lt;/script&gt;", "")
    assert pack_in(html)["case"] == key
    assert html.count("<script") == 5


def test_a_dealer_reads_and_prints_the_case_and_no_more(desk: Desk, workplace: Workplace) -> None:
    """Machine, complaint, answers with who and when, repair, photo and that it is evidence of a
    claim; the PDF has the picture; withdrawn it is gone. Nobody's photo opens by another's link.
    """
    from balewright.cause.case.entry import EntryKind
    from balewright.flows.add_to_case import Writing, add_to_case
    from balewright.flows.share_case import withdraw_case_link

    key = open_a_case(workplace)
    photo = jpeg_of()
    guide = link_to(workplace, key)
    taken = post(
        desk,
        guide,
        sent(
            key,
            entry(2, "check read", check="film_lumps_seen", seen="yes"),
            entry(3, "repaired", words="New roller", parts=[{"part": "own-7", "count": 2}],
                  minutes=35, at_bale=812),
            entry(4, "photo", sha256=name_of(photo), words="Worn roller"),
            entry(5, "weighed by a newer phone", value=1),
            photos={name_of(photo): photo},
        ),
    )  # fmt: skip
    assert len(taken.json()["kept"]) == 4
    claim = fields_of(number="CL-88", bales_from=700, bales_to=811, film_batch="B-4", words="Film")
    add_to_case(workplace, key, Writing(EntryKind.CLAIM_NOTED, claim, "tove"))
    way = link_to(workplace, key, "read", claim=True)
    html = desk.nobody.get(way).content.decode()
    for wanted in (
        *("Evidence for a claim", "Blue one", SERIAL, "Film tears &lt;all day&gt;", "Low field"),
        *("2 × own-7", "35", "812", "Worn roller", "Tove · 2030-", "CL-88", "700 – 811", "B-4"),
        *("1\N{NO-BREAK SPACE}entry was written by a newer version", "arrived"),
    ):
        assert wanted in html, wanted
    picture = desk.nobody.get(f"{way}/photos/{name_of(photo)}")
    assert (picture.content, picture.headers["Content-Type"]) == (photo, "image/png")
    pdf = desk.nobody.get(f"{way}/case.pdf")
    assert pdf.content.startswith(b"%PDF-")
    assert b"/Subtype /Image" in pdf.content or b"/Subtype/Image" in pdf.content
    stranger = link_to(workplace, open_a_case(workplace), "read")
    assert desk.nobody.get(f"{stranger}/photos/{name_of(photo)}").status_code == 404
    assert desk.nobody.get(guide.replace("/c/", "/d/")).status_code == 404
    assert desk.nobody.post(way).status_code == 405
    for link in workplace.register.load_case_links(key):
        withdraw_case_link(workplace, key, link.id)
    for gone in (way, f"{way}/case.pdf", f"{way}/photos/{name_of(photo)}", guide):
        assert desk.nobody.get(gone, headers=HOST).status_code == 404


def test_whatever_the_script_says_has_words() -> None:
    """Each name the page's script asks its words by is one of the catalogue."""
    from balewright.desk.case_phone.page import _STATIC, _names

    script = (_STATIC / "case.js").read_text(encoding="utf-8")
    asked = set(re.findall(r"""said(?:\.(\w+)|\["([\w.]+)"\])""", script))
    named = {dotted or plain for plain, dotted in asked}
    assert len(named) > 25
    assert named <= set(_names())
    begun = set(re.findall(r"""said(?:\[`|\[")([\w.]+\.)(?:\$|")""", script))
    assert all(any(name.startswith(one) for name in _names()) for one in begun)


def test_no_token_of_a_case_stands_in_the_log(desk: Desk) -> None:
    """Whoever reads the log cannot open a case by it."""
    import logging

    from balewright.desk.shared.hide_tokens import HideTokens

    for way in ("c", "d", "s"):
        line = logging.LogRecord("x", 30, "x", 1, f"GET /{way}/abc-DEF_123?x failed", (), None)
        HideTokens().filter(line)
        assert line.getMessage() == f"GET /{way}/...?x failed"
