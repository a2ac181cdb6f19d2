"""A binding that is asked for."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.cards.sheet_json import sheet_from_json, sheet_to_json
from balewright.plan.crop import Crop
from balewright.plan.machine import BindingKind, Machine
from balewright.plan.sheet.change import change_condition
from balewright.plan.sheet.compare import what_if
from balewright.plan.sheet.rules import plan_bale
from balewright.plan.sheet.sheet import Conditions
from balewright.quantities.errors import BadInput
from balewright.words.languages import LANGUAGES
from balewright.words.sheet_words import conditions_of

from .jobs import (
    MAKES,
    PLAIN,
    RING,
    SECOND_CUT,
    TABLE,
    any_conditions,
    line_of,
    makes,
    number,
    sheet_for,
)

HAY = replace(SECOND_CUT, crop=Crop.HAY, moisture_frac=0.15, film=None)


@pytest.mark.published
def test_twine_can_be_asked_for_where_net_is_on_the_machine_too() -> None:
    """The sheet binds with twine and gives the turns of twine that Shinners prints, 20 to 30; no
    net is counted.
    """
    sheet = plan_bale(PLAIN, replace(HAY, binding=BindingKind.TWINE), None, "test")
    assert line_of(sheet, "binding").value == "twine"
    assert line_of(sheet, "binding").reason.key == "sheet.binding.asked"
    assert 20.0 <= number(sheet, "binding_turns") <= 30.0
    assert sheet.expected.net_m_bale is None
    assert not any(change.roll == "net" for change in sheet.roll_changes)


@pytest.mark.own
def test_film_or_net_can_be_asked_for_whatever_is_named() -> None:
    """Asking decides: film although a net roll is named, net although none is."""
    film = sheet_for(RING, binding=BindingKind.FILM)
    assert line_of(film, "binding").value == "film"
    assert "caution.unbound_bale" in {caution.key for caution in film.cautions}
    net = sheet_for(RING, binding=BindingKind.NET, net_roll_m=None)
    assert line_of(net, "binding").value == "net"
    assert "sheet.unknown.net_roll" in {unknown.key for unknown in net.unknown}


@pytest.mark.own
@pytest.mark.parametrize(
    ("machine", "asked", "has"),
    [
        (RING, BindingKind.TWINE, "net or film"),
        (TABLE, BindingKind.TWINE, "net"),
        (TABLE, BindingKind.FILM, "net"),
        (PLAIN, BindingKind.FILM, "net or twine"),
    ],
)
def test_a_binding_that_the_machine_has_not_is_refused(
    machine: Machine, asked: BindingKind, has: str
) -> None:
    """No sheet, the place, what this machine has, and what to do; wrapped crop or dry."""
    for job in (HAY, SECOND_CUT):
        with pytest.raises(BadInput) as refused:
            plan_bale(machine, replace(job, binding=asked), None, "test")
        (fault,) = refused.value.faults
        assert fault.place == "binding"
        assert fault.need.startswith(f"{has}, which")
        assert str(asked) in fault.given
        assert fault.cure


@pytest.mark.law
@settings(max_examples=30, deadline=None)
@given(machine=makes, job=any_conditions, asked=st.sampled_from(list(BindingKind)))
def test_what_is_asked_for_is_what_binds(
    machine: Machine, job: Conditions, asked: BindingKind
) -> None:
    """Where the machine has it the sheet binds with it; asking for what the rules take anyway
    changes the reason of that line and no value.
    """
    usual = plan_bale(machine, job, None, "test")
    if machine.binding(asked) is None:
        return
    sheet = plan_bale(machine, replace(job, binding=asked), None, "test")
    assert line_of(sheet, "binding").value == asked
    if line_of(usual, "binding").value == asked:
        values = [[(line.key, line.value) for line in one.lines] for one in (usual, sheet)]
        assert values[0] == values[1]


@pytest.mark.own
def test_a_sheet_with_a_binding_asked_for_is_kept_and_read_without_loss() -> None:
    """JSON there and back, for each binding and for none; a sheet kept before has none."""
    for machine in MAKES:
        for binding in (None, *(one.kind for one in machine.bindings)):
            sheet = plan_bale(machine, replace(HAY, binding=binding), None, "test")
            raw = json.loads(json.dumps(sheet_to_json(sheet)))
            assert sheet_from_json(raw) == sheet
            if binding is None:
                del raw["conditions"]["binding"]
                assert sheet_from_json(raw) == sheet


@pytest.mark.own
def test_what_if_asks_for_a_binding() -> None:
    """Its turns change with it; None leaves it to the rules again; what is none is refused."""
    difference = what_if(PLAIN, HAY, [("binding", "twine")])
    assert {"binding", "binding_turns"} <= {line.name for line in difference.lines}
    asked = change_condition(HAY, "binding", "twine")
    assert asked.binding is BindingKind.TWINE
    assert change_condition(asked, "binding", None) == HAY
    with pytest.raises(BadInput, match="net, film, twine"):
        change_condition(HAY, "binding", "wire")


@pytest.mark.own
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_sheet_repeats_what_was_asked_for(language: str) -> None:
    """In each language one sentence more than where nothing was asked for."""
    asked = plan_bale(PLAIN, replace(HAY, binding=BindingKind.TWINE), None, "test")
    plain = plan_bale(PLAIN, HAY, None, "test")
    new = set(conditions_of(asked, language)) - set(conditions_of(plain, language))
    assert len(new) == 1
    word = {"en": "twine", "de": "Garn", "fr": "ficelle", "pl": "sznurek"}[language]
    assert word in new.pop()
