"""Reasons, values and catalogues in words."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from balewright.plan import cautions
from balewright.quantities.errors import BadInput
from balewright.quantities.reason import Reason, because
from balewright.words.english import messages
from balewright.words.say import MissingMessage, catalogue, placeholders, say, say_value

PACKAGE = Path(__file__).parents[2] / "src" / "balewright"
MAKERS = {"because", "Reason"}


@pytest.mark.derived
@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("gate_opening_mm", 30.0, "30 mm"),
        ("diameter_m", 1.25, "1.25 m"),
        ("film_m", 70.04, "70 m"),
        ("roll_m", 1500.0, "1,500 m"),
        ("pre_stretch_frac", 0.7, "70 %"),
        ("short_frac", 0.0684, "6.8 %"),
        ("knife_bar", 62, "62 bar"),
        ("open_s", 2.5, "2.5 s"),
        ("feed_t_h", 36.0, "36 t/h"),
        ("pace_bales_h", 42.3, "42 bales/h"),
        ("speed_m_s", 2.5, "9 km/h"),
        ("windrow_kg_m", 4.0, "4 kg/m"),
        ("density_kg_m3", 178.6, "179 kg/m³"),
        ("film_um", 25.0, "25 µm"),
        ("storage_months", 1.0, "1 month"),
        ("storage_months", 9.0, "9 months"),
        ("oil_c", -3.25, "-3.2 °C"),
        ("at_us", 1_900_000_000_000_000, "2030-03-17 17:46 UTC"),
        ("wrap_turns", 16.0, "16"),
        ("layers", 6, "6"),
        ("moisture_frac", None, "unknown"),
        ("mass_kg", float("nan"), "unknown"),
        ("break_monitor", True, "yes"),
        ("crop", "hay", "hay"),
        ("m", 3.0, "3"),
        ("tip_delay_s", -0.0, "0 s"),
    ],
)
def test_value_with_the_unit_of_its_name(name: str, value: object, said: str) -> None:
    """A value is printed in the unit its name ends in, with no digits that nobody measured."""
    assert say_value(name, value).replace("\N{NO-BREAK SPACE}", " ") == said


@pytest.mark.own
def test_a_key_without_words_is_a_fault_of_ours() -> None:
    """An unknown key or a missing value is an error, never an empty sentence."""
    with pytest.raises(MissingMessage, match=r"no message for 'no\.such\.key'"):
        say(Reason("no.such.key"))
    with pytest.raises(MissingMessage, match="lacks slope_frac"):
        say(Reason(cautions.STEEP_GROUND))
    with pytest.raises(BadInput, match="language: needs one of en"):
        catalogue("xx")


@pytest.mark.own
def test_a_reason_is_a_sentence_with_its_values() -> None:
    """The values of a reason stand in its sentence with their units."""
    said = say(because("caution.steep_ground", slope_frac=0.18))
    assert said.startswith("On a slope of 18\N{NO-BREAK SPACE}% do not tip")


@pytest.mark.own
def test_every_caution_has_words() -> None:
    """Each caution a profile or a sheet can name stands in the catalogue."""
    named = [value for name, value in vars(cautions).items() if name.isupper()]
    keys = {key for value in named for key in ([value] if isinstance(value, str) else value)}
    assert len(keys) == 14
    assert keys <= messages().keys()


@pytest.mark.law
def test_no_topic_repeats_a_message_and_none_is_blank() -> None:
    """Topics do not collide, and every message has text and plain placeholder names."""
    for key, message in messages().items():
        assert message.strip(), key
        assert all(name.isidentifier() for name in placeholders(message)), key


def _constants(tree: ast.Module) -> dict[str, str]:
    """Names bound to one text in a module (`KEY: Final = "a.b"`)."""
    found = {}
    for node in tree.body:
        value = node.value if isinstance(node, ast.Assign | ast.AnnAssign) else None
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        if isinstance(value, ast.Constant) and isinstance(value.value, str):
            found |= {target.id: value.value for target in targets if isinstance(target, ast.Name)}
    return found


def _reasons(path: Path) -> Iterator[tuple[str, str, set[str] | None]]:
    """(place, key, names of its values or None where they cannot be read) of every reason made."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    known = _constants(tree)
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args):
            continue
        if node.func.id not in MAKERS:
            continue
        first = node.args[0]
        options = [first.body, first.orelse] if isinstance(first, ast.IfExp) else [first]
        names: set[str] | None = {word.arg for word in node.keywords if word.arg}
        if node.func.id == "Reason" or any(word.arg is None for word in node.keywords):
            names = None
        for option in options:
            place = f"{path.relative_to(PACKAGE)}:{node.lineno}"
            if isinstance(option, ast.Constant) and isinstance(option.value, str):
                yield place, option.value, names
            elif isinstance(option, ast.Name) and option.id in known:
                yield place, known[option.id], names
            elif isinstance(option, ast.JoinedStr):
                prefix = option.values[0] if option.values else None
                if isinstance(prefix, ast.Constant):
                    yield place, f"{prefix.value}*", None


@pytest.mark.law
@pytest.mark.parametrize(
    "path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: str(path.relative_to(PACKAGE))
)
def test_every_reason_made_in_the_source_has_its_words(path: Path) -> None:
    """Every key given to a Reason stands in the catalogue, and its placeholders are given."""
    for place, key, names in _reasons(path):
        if key.endswith("*"):
            found = [known for known in messages() if known.startswith(key[:-1])]
            assert found, f"{place}: no message begins with {key[:-1]!r}"
            continue
        assert key in messages(), f"{place}: no message for {key!r}"
        if names is not None:
            missing = placeholders(messages()[key]) - names
            assert not missing, f"{place}: {key!r} wants {sorted(missing)}"
