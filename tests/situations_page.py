"""The table of situations as people read it. `python tests/situations_page.py` writes it anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

from balewright.quantities.sources import Strength, source
from balewright.words.say import SPACE, catalogue, say_value
from situation_rows import ROOT, Row, notes, rows, situations, table, value_in_words
from situations import compared

PAGE = ROOT / "docs" / "situations.md"
_PUBLISHED = (Strength.PUBLISHED, Strength.STANDARD)

_INTRO = """# What a setup sheet should say, situation by situation

Made by `python tests/situations_page.py`; a test fails where this page is old.

These situations, and what a good sheet says in each, were written from published advice and from
common practice by somebody who had not seen the rules, and were kept before the rules were run on
them. The table has not been changed since, which a test holds too. Where it and the rules
disagree, both values stand here with who was right and why.

A machine's own manual, the rules of the place and trained people come before this table, as they
come before the sheet.
"""

_BALE = {
    "mass_kg": "Bale mass",
    "dry_matter_kg_m3": "Dry matter in the bale",
    "density_kg_m3": "Bale density",
    "film_g_bale": "Film a bale",
    "film_rolls": "Film rolls",
}
_LABELS = {"additive": "Additive", "roll changes": "Roll changes"}
_UNITS = {"dry_matter_kg_m3": "kg/m³", "density_kg_m3": "kg/m³"}


def page() -> str:
    """docs/situations.md as it should be."""
    parts = [_INTRO, *_counts(), *_disagreements(), *_put_right(), *_table(), *_sources()]
    return "\n".join(parts) + "\n"


def _counts() -> Iterator[str]:
    first, found = notes()["first_run"], compared()
    published = [one for one in rows() if _is_published(one)]
    yield from ("## In numbers", "", "| | |", "|---|---|")
    yield f"| situations | {len(situations())} |"
    yield f"| expectations compared | {len(found)} |"
    yield f"| of them from published advice or a standard | {len(published)} |"
    yield f"| agreed when the rules of before were run on them | {first['agreed_before']} |"
    yield f"| agreed when the finished rules were first run on them | {first['agreed']} |"
    yield f"| agree now | {sum(one.agrees for one in found)} |"
    yield f"| rules put right because of the table | {len(notes().get('put_right', ()))} |"
    yield f"| disagreements that stay | {sum(not one.agrees for one in found)} |"
    yield from ("", first["note"].strip(), "")


def _disagreements() -> Iterator[str]:
    told = notes().get("disagreement", ())
    yield from ("## Where they disagree", "")
    if not told:
        yield from ("Nowhere.", "")
        return
    right = Counter(one["right"] for one in told)
    yield "Right: " + ", ".join(f"{who} {count}" for who, count in sorted(right.items())) + "."
    yield from ("", "| situation | the table expects | the sheet has | right | why |")
    yield "|---|---|---|---|---|"
    for one in told:
        cells = [one[name] for name in ("situation", "expected", "found", "right", "why")]
        yield "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"
    yield ""


def _put_right() -> Iterator[str]:
    mended = notes().get("put_right", ())
    if not mended:
        return
    yield from ("## What the table put right", "")
    yield "These agree now because the rules took them over; they count as checks no longer."
    yield from ("", "| situation | the table expects | what was wrong | now |", "|---|---|---|---|")
    for one in mended:
        cells = [one[name] for name in ("situation", "expected", "was", "now")]
        yield "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"
    yield ""


def _table() -> Iterator[str]:
    yield from ("## The table", "")
    yield f"Where a situation does not say otherwise: {_conditions(table()['base'])}."
    yield ""
    for one in table()["situation"]:
        yield from (f"### {_sentence(one['name'])[:-1]}", "")
        changed = {name: one[name] for name in one if name not in ("name", "expect")}
        yield from (_sentence(_conditions(changed) or "as it stands above"), "")
        yield from ("| expected | | written from |", "|---|---|---|")
        for row in compared():
            if row.row.situation == one["name"]:
                mark = "" if row.agrees else "**disagrees**"
                keys = ", ".join(_named(key) for key in row.row.sources)
                yield f"| {_in_words(row.row)} | {mark} | {keys} |"
        yield ""


def _sources() -> Iterator[str]:
    yield from ("## Sources", "")
    yield "Strength and text as the bibliography has them; common practice has no source."
    yield from ("", "| key | strength | source |", "|---|---|---|")
    for key in sorted({key for row in rows() for key in row.sources} - {"practice"}):
        one = source(key)
        yield f"| `{key}` | {one.strength.value} | {one.text.replace('|', '/')} |"


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."


def _is_published(row: Row) -> bool:
    return any(source(key).strength in _PUBLISHED for key in row.sources)


def _named(key: str) -> str:
    return "common practice" if key == "practice" else f"`{key}`"


def _in_words(row: Row) -> str:
    expect = row.expect
    name = expect.get("line") or expect.get("bale")
    if name is None:
        return row.said
    key = "additive_l_t" if name == "additive" else name
    label = _BALE.get(name) or catalogue()[f"line.{key}"]
    plain = {end: expect[end] for end in ("low", "high") if end in expect}
    if not plain:
        return f"{label}: {value_in_words(expect)}"
    ends = [_with_unit(key, value) for value in plain.values()]
    if len(plain) == 1:
        return f"{label}: at {'least' if 'low' in plain else 'most'} {ends[0]}"
    return f"{label}: {ends[0]}" if ends[0] == ends[1] else f"{label}: {_joined(*ends)}"


def _with_unit(key: str, value: float) -> str:
    if key in _UNITS:
        return f"{value:g}{SPACE}{_UNITS[key]}"
    return say_value(key, value)


def _joined(low: str, high: str) -> str:
    """Both ends of a range, the unit once."""
    number, _, unit = low.rpartition(SPACE)
    return f"{number if number and high.endswith(unit) else low} to {high}"


def _conditions(one: Mapping[str, Any]) -> str:
    """Conditions in a sentence's words."""
    said = [f"`{one['make']}`"] if "make" in one else []
    for name, words in (
        ("crop", "{}"),
        ("climate", "{} country"),
        ("bales", "{} bales"),
        ("storage_months", "kept {} months"),
        ("additive", "{} sprayed"),
    ):
        if name in one:
            said.append(words.format(one[name]))
    for name, words in (
        ("moisture_frac", "{:.0%} moisture"),
        ("windrow_kg_m", "{:g} kg a metre of row"),
        ("row_width_m", "rows {:g} m wide"),
        ("speed_m_s", "{:g} m/s"),
        ("slope_frac", "slope {:.0%}"),
        ("film_stretch_frac", "film label {:.0%} stretch"),
        ("film_um", "film of {:g} µm"),
        ("film_roll_m", "film rolls of {:g} m"),
    ):
        if name in one:
            said.append(words.format(one[name]).replace("%", f"{SPACE}%"))
    return ", ".join([*said, *_film_and_ground(one)])


def _film_and_ground(one: Mapping[str, Any]) -> Iterator[str]:
    if "film_width_m" in one:
        width_m = one["film_width_m"]
        yield f"film {width_m * 1000:.0f} mm wide" if width_m else "no film"
    if "net_roll_m" in one:
        yield f"net rolls of {one['net_roll_m']} m" if one["net_roll_m"] else "no net"
    if "rolls_left_m" in one:
        yield "film left: " + " and ".join(f"{left} m" for left in one["rolls_left_m"])
    for name, words in (("dusty", ("dust", "no dust")), ("stony", ("stones", "no stones"))):
        if name in one:
            yield words[0] if one[name] else words[1]


if __name__ == "__main__":
    PAGE.write_text(page())
