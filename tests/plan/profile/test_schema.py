"""The schema takes any content and answers with a machine or with named faults, nothing else."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from balewright.plan.machine import Machine
from balewright.plan.profile.forms import nearest
from balewright.plan.profile.schema import build_machine
from balewright.quantities.errors import BadProfile
from balewright.readers.profile import MAKES

FILES = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in MAKES.glob("*.toml")}
junk = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(),
        st.text(max_size=8),
        st.dates(),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=8,
)


def places(raw: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of every value in nested tables and lists."""
    steps = raw.items() if isinstance(raw, dict) else enumerate(raw)
    found = []
    for step, value in steps:
        found.append((*path, step))
        if isinstance(value, dict | list):
            found += places(value, (*path, step))
    return found


@pytest.mark.law
@settings(max_examples=150, deadline=None)
@given(data=st.data(), name=st.sampled_from(sorted(FILES)))
def test_one_changed_value_gives_a_machine_or_named_faults(data: st.DataObject, name: str) -> None:
    """Whatever stands in place of one value, the answer is a machine or faults with a cure."""
    raw = copy.deepcopy(FILES[name])
    *way, last = data.draw(st.sampled_from(places(raw)))
    holder = raw
    for step in way:
        holder = holder[step]
    if data.draw(st.booleans()) and isinstance(holder, dict):
        del holder[last]
    else:
        holder[last] = data.draw(junk)
    try:
        machine = build_machine(raw, "some.toml")
    except BadProfile as error:
        for fault in error.faults:
            assert fault.place.startswith("some.toml: ")
            assert fault.need
            assert fault.given
            assert fault.cure.endswith((".", "?"))
    else:
        assert isinstance(machine, Machine)


@pytest.mark.law
@settings(max_examples=50, deadline=None)
@given(raw=st.dictionaries(st.text(max_size=8), junk, max_size=6))
def test_anything_at_all_is_refused_as_a_profile(raw: dict[str, Any]) -> None:
    """Tables that are no profile are refused, the section that is no table by its name."""
    with pytest.raises(BadProfile, match=r"some\.toml: chamber: needs a table \[chamber\]"):
        build_machine({**raw, "chamber": 7}, "some.toml")


@pytest.mark.derived
@pytest.mark.parametrize(
    ("given_name", "meant"),
    [
        ("widht_m", "width_m"),
        ("rpms", "rpm"),
        ("pre_strech_frac", "pre_stretch_frac"),
        ("full", "full_sign"),
        ("zzzzz", None),
        ("", None),
    ],
)
def test_the_name_that_was_meant(given_name: str, meant: str | None) -> None:
    """A misspelt or cut name finds the one it was meant to be; nonsense finds none."""
    names = ["width_m", "rpm", "pre_stretch_frac", "full_sign", "advance_m"]
    assert nearest(given_name, names) == meant
