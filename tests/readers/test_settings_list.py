"""A list of settings, however somebody wrote it down."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balewright.quantities.errors import BadInput
from balewright.readers.settings_list import read_settings, read_settings_file

WANTED = (("wrap turns", "16"), ("Net wraps", "2.5"), ("Film break", "on"))


@pytest.mark.own
@pytest.mark.parametrize(
    "text",
    [
        "wrap turns,16\nNet wraps,2.5\nFilm break,on\n",
        "\ufeffname,value\r\nwrap turns,16\r\nNet wraps,2.5\r\n\r\nFilm break,on",
        "Setting;Value\nwrap turns;16\n Net wraps ; 2.5\nFilm break;on",
        "wrap turns\t16\nNet wraps\t2.5\nFilm break\ton",
        "wrap turns = 16\nNet wraps = 2.5\nFilm break = on",
        "wrap turns: 16\nNet wraps: 2.5\nFilm break: on",
        '{"wrap turns": 16, "Net wraps": 2.5, "Film break": true}',
        '[["wrap turns", "16"], ["Net wraps", 2.5], ["Film break", "on"]]',
        '[{"name": "wrap turns", "value": 16}, {"name": "Net wraps", "value": "2.5"},'
        ' {"name": "Film break", "value": "on"}]',
        '{"kept": 1, "settings": {"wrap turns": 16, "Net wraps": 2.5, "Film break": "on"}}',
    ],
)
def test_every_way_of_writing_gives_the_same(text: str) -> None:
    """Comma, semicolon, tab, = and :, with a heading or without, and four forms of JSON."""
    assert read_settings(text) == WANTED


@pytest.mark.own
def test_a_decimal_comma_needs_another_sign_between() -> None:
    """`2,5` behind a semicolon is a value, in quotes too; between commas it is told."""
    assert read_settings("Net wraps;2,5\nSpeed;9,0") == (("Net wraps", "2,5"), ("Speed", "9,0"))
    assert read_settings('Net wraps,"2,5"') == (("Net wraps", "2,5"),)
    with pytest.raises(BadInput, match=r"'Net wraps': needs two cells, was given 3\. Put a value"):
        read_settings("Net wraps,2,5")


@pytest.mark.own
@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "at least one setting"),
        ("name,value", "at least one setting"),
        ("[]", "at least one setting"),
        ("{}", "at least one setting"),
        ("{", "JSON that can be read"),
        ("[" * 100_000, "JSON that can be read"),
        ('{"a": null}', "a text, a number"),
        ('{"a": {"b": 1}}', "a text, a number"),
        ("[1, 2]", "a text, a number"),
        ('["ab"]', "a text, a number"),
        ("wrap turns 16", "with the same sign between"),
        ("a,1\nb;2", "with the same sign between"),
        ("a,\nb,2", "a name and a value"),
        (",1", "a name and a value"),
        ("a,1\nA,2", "each name once, was given 2 times"),
        ("a," + "9" * 101, "at most 100 plain characters"),
        ("a,1\x07", "at most 100 plain characters"),
        ("\n".join(f"a{n},1" for n in range(2001)), "at most 2,000 settings"),
    ],
)
def test_what_is_no_list_is_told(text: str, message: str) -> None:
    """Nothing, junk, half a line, a name that comes twice, too much."""
    with pytest.raises(BadInput, match=message):
        read_settings(text)


@pytest.mark.law
@given(
    st.dictionaries(
        st.from_regex(r"[a-z][a-z ]{0,10}[a-z]", fullmatch=True),
        st.from_regex(r"[a-z0-9.,; ]{0,10}[0-9]", fullmatch=True).map(str.strip),
        min_size=1,
        max_size=8,
    )
)
def test_json_gives_back_what_was_written(settings: dict[str, str]) -> None:
    """Names and values come back as they were, in their order."""
    assert read_settings(json.dumps(settings)) == tuple(settings.items())


@pytest.mark.own
def test_a_file_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    """No file, a folder, another encoding, a file far too large."""
    odd, large = tmp_path / "odd.csv", tmp_path / "large.csv"
    odd.write_bytes(b"a,\xff\xfe")
    large.write_bytes(b"a,1\n" * 300_000)
    for path in (tmp_path / "none.csv", tmp_path, odd):
        with pytest.raises(BadInput, match="a text file that can be read"):
            read_settings_file(path)
    with pytest.raises(BadInput, match="at most 1,000,000 bytes, was given 1,200,000"):
        read_settings_file(large)
