"""Reasons as sentences, in the network's words and the reader's language."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import balewright
from balewright.cause.evidence_value import NO, YES
from balewright.cause.infer.refusals import TooWide
from balewright.cause.laid_out import lay_out
from balewright.cause.network import Text
from balewright.cause.rank import rank_causes
from balewright.cause.reasons.refused import in_keys
from balewright.cause.reasons.sentence import oddities_of, reasons_of
from balewright.words.english.causes import MESSAGES
from balewright.words.say import say
from cause.networks_by_hand import cause, check, network, report


def machine():
    """Two rivals, one of them with German words."""
    made = network(
        [cause("valve", 0.02), cause("pump", 0.02), cause("odd", 0.001)],
        [report("slow"), report("loud"), report("smell", 0.02), check("gauge")],
        {
            ("valve", "slow"): 0.8, ("pump", "slow"): 0.8, ("valve", "loud"): 0.7,
            ("valve", "gauge"): 0.9, ("odd", "smell"): 0.2,
        },
    )  # fmt: skip
    words = Text((("en", "it is slow"), ("de", "es ist langsam")))
    seen = (replace(made.observations[0], words=words), *made.observations[1:])
    return replace(made, observations=seen)


@pytest.mark.own
def test_a_cause_says_what_fits_what_does_not_and_what_nobody_asked() -> None:
    """Each in one sentence; in German the network's words are German."""
    ranking = rank_causes(machine(), {"slow": YES, "loud": NO})
    valve = ranking.cause("valve")
    said = [say(one) for one in reasons_of(valve, machine())]
    assert said == [
        "It fits: it is slow.",
        "Against it, because not so: loud.",
        "It would usually also show here, and nobody has looked: gauge.",
    ]
    german = reasons_of(valve, machine(), "de")[0]
    assert german.value("signs") == "es ist langsam"
    odd = say(reasons_of(ranking.cause("odd"), machine())[0])
    assert odd.startswith("Nothing seen speaks for it")


@pytest.mark.own
def test_what_fits_because_it_is_missing_is_not_said_as_if_it_were_there() -> None:
    """The pump seldom is loud and the valve often: silence speaks for the pump, and the sentence
    says that it is silence.
    """
    made = network(
        [cause("valve", 0.02), cause("pump", 0.02)],
        [report("slow"), report("loud")],
        {("valve", "slow"): 0.8, ("pump", "slow"): 0.8, ("valve", "loud"): 0.9,
         ("pump", "loud"): 0.05},
    )  # fmt: skip
    pump = rank_causes(made, {"slow": YES, "loud": NO}).cause("pump")
    said = [say(one) for one in reasons_of(pump, made)]
    assert said[:2] == ["It fits: slow.", "It fits that this is not so: loud."]


@pytest.mark.own
def test_what_does_not_fit_is_said() -> None:
    """Unexplained, not used, possibly none of the causes known here."""
    ranking = rank_causes(machine(), {"smell": YES, "gone": YES})
    said = " ".join(say(one) for one in oddities_of(ranking, machine()))
    assert "No cause known here explains this well: smell." in said
    assert "it is none of the causes known here is 99\N{NO-BREAK SPACE}%." in said
    assert "Not used, as this machine has no such thing: gone." in said
    assert not oddities_of(rank_causes(machine(), {"slow": YES}), machine())


@pytest.mark.derived
def test_a_refusal_names_observations_by_their_keys() -> None:
    """Places in arrays mean nothing to a person."""
    refusal = in_keys(TooWide(20, 18, (0, 1), (3,)), lay_out(machine()))
    assert refusal.observations == ("slow", "loud")
    assert refusal.set_unknown == ("gauge",)
    assert "Leave out: gauge." in str(refusal)


@pytest.mark.law
def test_every_reason_of_causes_has_its_sentence_and_none_is_left_over() -> None:
    """Keys in the code and keys in the catalogue are the same."""
    code = "\n".join(
        path.read_text()
        for path in (Path(balewright.__file__).parent / "cause").rglob("*.py")
        if {"next_check", "reasons", "learn"} & set(path.parts) or path.name == "rank.py"
    )
    used = set(re.findall(r'"(cause\.(?:verdict|reason|next|lesson)\.[a-z_.]+)"', code))
    known = {
        key for key in MESSAGES if key.split(".")[1] in {"verdict", "reason", "next", "lesson"}
    }
    assert used == known
