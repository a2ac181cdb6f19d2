"""A setup sheet as one HTML file that needs nothing else: for a phone where there is no signal.

No script, no picture, no request; the only style is inside it. A policy in its head keeps it so.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any, Final

from balewright.cards.issue import NO_ISSUE, Issue
from balewright.cards.sheet_data import sheet_data
from balewright.plan.sheet.sheet import Sheet
from balewright.words import sheet_words

_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
)


def sheet_page(sheet: Sheet, language: str = "en", issue: Issue = NO_ISSUE) -> str:
    """The sheet as a whole HTML document: until when it holds, cautions first, then each setting
    with the machine's own word and position, its reason, and what stands beside the settings.
    """
    data = sheet_data(sheet, issue, language)
    body = "".join(_body(data, language))
    return (
        f'<!doctype html>\n<html lang="{escape(data["language"])}">\n<head>\n'
        '<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="referrer" content="no-referrer">\n'
        '<meta name="robots" content="noindex, nofollow">\n'
        f"<title>{escape(data['title'])}: {escape(data['machine'])}</title>\n"
        f"<style>\n{_style()}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )


@cache
def _style() -> str:
    return files(__package__).joinpath("sheet_page.css").read_text("utf-8")


def _body(data: Mapping[str, Any], language: str) -> Iterable[str]:
    yield "<main>\n<header>\n"
    yield f'<p class="for">{escape(data["title"])}</p>\n<h1>{escape(data["machine"])}</h1>\n'
    if data["issue"]:
        first, *rest = (escape(line) for line in data["issue"])
        more = "".join(f' <span class="id">{line}</span>' for line in rest)
        yield f'<p class="until">{first}{more}</p>\n'
    yield f'<p class="for">{escape(" · ".join(data["conditions"]))}</p>\n</header>\n'
    yield f'<section class="first"><h2>{escape(data["first"])}</h2>\n'
    yield f"<ul>{_items(data['cautions'])}</ul>\n"
    if data.get("cautions_beside"):
        yield f'<ul lang="en">{_items(data["cautions_beside"])}</ul>\n'
    yield "</section>\n"
    dial = escape(sheet_words.heading("col.dial", language))
    yield '<div class="parts">\n'
    for group in data["groups"]:
        lines = "".join(_setting(line, dial) for line in group["lines"])
        yield f'<section class="part"><h2>{escape(group["name"])}</h2>\n'
        yield f'<ul class="lines">{lines}</ul></section>\n'
    for part in data["sections"]:
        yield f'<section class="part"><h2>{escape(part["name"])}</h2>\n'
        yield f'<ul class="said">{_items(part["sentences"])}</ul></section>\n'
    yield "</div>\n"
    entries = "".join(
        f"<dt>{escape(entry['key'])}</dt><dd>{escape(entry['text'])}</dd>"
        for entry in data["sources"]["entries"]
    )
    yield f"<details><summary>{escape(data['sources']['name'])}</summary>"
    yield f"<dl>{entries}</dl></details>\n"
    yield f"<footer><p>{escape(data['origin'])}</p>"
    if data.get("note"):
        yield f"<p>{escape(data['note'])}</p>"
    yield f"<p>{escape(sheet_words.heading('no_signal', language))}</p>"
    if data["link"]:
        yield f'<p><a href="{escape(data["link"])}">{escape(data["link"])}</a></p>'
    yield "</footer>\n</main>\n"


def _items(sentences: Iterable[str]) -> str:
    return "".join(f"<li>{escape(sentence)}</li>" for sentence in sentences)


def _setting(line: Mapping[str, str], dial: str) -> str:
    position = ""
    if line["dial"]:
        position = (
            f' <span class="dial"><span class="unseen">{dial} </span>{escape(line["dial"])}</span>'
        )
    allowed = f' <span class="allowed">{escape(line["allowed"])}</span>' if line["allowed"] else ""
    return (
        f'<li><span class="what">{escape(line["label"])}{allowed}</span>'
        f'<span class="set">{escape(line["value"])}{position}</span>'
        f'<span class="why">{escape(line["why"])} ({escape(line["sure"])}, '
        f"{escape(line['source'])})</span></li>"
    )
