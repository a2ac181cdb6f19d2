"""A trace of a machine's bus on the screen, for `balewright read`."""

from __future__ import annotations

from collections.abc import Iterator

from balewright.cli.answer import print_table
from balewright.flows.read_trace import CodeSeen, NodeSeen, TraceSeen
from balewright.quantities.reason import because
from balewright.words.say import say


def show_trace(found: TraceSeen) -> None:
    """Print who spoke, the codes and the signals."""
    short = found.frames - sum(one.frames for one in found.nodes)
    more = f", {short} of them with 11-bit identifiers" if short else ""
    print(f"{found.name}: {found.form}, {found.trace_form}, {found.frames} frames{more}")
    if found.first is not None:
        print(f"from {found.first} to {found.last}")
    if not found.dated:
        print(say(because("trace.undated")))
    print(_book(found))
    print()
    if found.nodes:
        headings = ["address", "frames", "class", "maker", "number", "what"]
        print_table(headings, [_node_cells(one) for one in found.nodes])
        print()
    if found.codes:
        headings = ["code", "address", "what", "came", "went", "times", "lamps"]
        print_table(headings, [_code_cells(one) for one in found.codes])
    else:
        print(say(because("trace.none")))
    print()
    if found.signals:
        rows = [
            [
                *(one.name, str(one.samples), str(one.known), str(one.errors)),
                *(_number(one.low), _number(one.high), one.origin),
            ]
            for one in found.signals
        ]
        print_table(["signal", "samples", "known", "errors", "low", "high", "from"], rows)
        print()
    if found.process_data:
        rows = [
            [
                str(one.identifier),
                one.what,
                f"{one.source:#04x}",
                str(one.messages),
                str(one.last_raw),
            ]
            for one in found.process_data
        ]
        print_table(["identifier", "what", "address", "messages", "last, raw"], rows)
        print()


def ending_lines(found: TraceSeen) -> Iterator[str]:
    """What carried no message, by its kind."""
    if found.left_out:
        yield "Without a message: " + ", ".join(f"{n} {kind}" for kind, n in found.left_out.items())


def _book(found: TraceSeen) -> str:
    if found.book is None:
        return say(because("trace.no_book"))
    return say(because("trace.book", book=found.book))


def _node_cells(one: NodeSeen) -> list[str]:
    numbers = [
        str(each) if each is not None else "-"
        for each in (one.device_class, one.maker, one.identity)
    ]
    return [f"{one.address:#04x}", str(one.frames), *numbers, "baler" if one.baler else "-"]


def _code_cells(one: CodeSeen) -> list[str]:
    text = f"{one.spn}/{one.fmi}{' (old form)' if one.old_form else ''}"
    went = one.went or ("-" if not one.active else one.ended)
    if one.active and one.ended == "silent":
        went = f"{went} (silent since)"
    if not one.active:
        text += ", earlier"
    count = "-" if one.occurrence is None else str(one.occurrence)
    what = say(because(f"code.fmi.{one.fmi}"))
    return [text, f"{one.source:#04x}", what, one.came, went, count, ", ".join(one.lamps) or "-"]


def _number(value: float | None) -> str:
    return "-" if value is None else f"{value:.6g}"
