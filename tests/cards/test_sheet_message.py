"""The short text: fits a phone's message, cautions first, says where the rest is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balewright.cards.issue import Issue
from balewright.cards.sheet_message import MESSAGE_SIGNS, sheet_message
from balewright.quantities.reason import Reason
from balewright.readers.profile import shipped_profiles
from cards.examples import ASKED, HAY, LINK, LONG, issued, sheet_for

# The basic 7-bit alphabet of phones, 3GPP TS 23.038 section 6.2.1, with brackets of its extension.
ALPHABET = set(
    "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?¡"
    "ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà[]"
)


@pytest.mark.published
@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("make", sorted(shipped_profiles()))
@pytest.mark.parametrize("winded", [False, True])
def test_it_fits_the_phones_alphabet_and_length(make: str, asked: str, winded: bool) -> None:
    """Every sign is of the 7-bit alphabet and five joined messages of 153 hold all of it; a
    bracket counts twice there."""
    sheet = sheet_for(make, ASKED[asked], winded=winded)
    text = sheet_message(sheet, "en", issued(sheet))
    assert set(text) <= ALPHABET
    assert len(text) <= MESSAGE_SIGNS == 5 * 153


@pytest.mark.own
def test_cautions_stand_before_settings_and_the_link_last() -> None:
    """The common caution and those of this slope and moisture come first, then settings with the
    machine's own word and position."""
    sheet = sheet_for("mossgrinder-m2", LONG)
    lines = sheet_message(sheet, "en", issued(sheet)).splitlines()
    first = next(at for at, line in enumerate(lines) if line.startswith("Forward speed"))
    said = " ".join(lines[:first])
    assert "PTO off, engine stopped, key out" in said
    assert "On a slope of 24 % do not tip where a bale can roll" in said
    assert "valid until 2026-07-07" in said
    assert any(line.startswith("Density pressure 86 bar [bale firmness 3]") for line in lines)
    assert lines[-1] == f"All cautions and reasons: {LINK}"


@pytest.mark.own
def test_what_the_job_has_no_use_for_is_not_sent() -> None:
    """Dry hay is not wrapped: no line of film stands in its message."""
    text = sheet_message(sheet_for("thistlewick-t1", HAY))
    assert "Bale diameter" in text
    assert "Wrap turns" not in text
    assert "not used" not in text


@pytest.mark.own
def test_cautions_are_never_left_out() -> None:
    """Where cautions fill the message, settings give way and the last line still stands."""
    sheet = sheet_for("mossgrinder-m2")
    many = tuple(Reason("caution.steep_ground", (("slope_frac", 0.2),)) for _ in range(6))
    text = sheet_message(replace(sheet, cautions=many), "en", Issue())
    assert text.count("On a slope of 20 %") == 6
    assert "Forward speed" not in text
    assert text.endswith("All cautions and reasons stand on the sheet.\n")
