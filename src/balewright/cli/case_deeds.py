"""What `balewright case` does, deed by deed. Each one that writes is one more entry."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from balewright.cause.case.case import CaseState
from balewright.cause.case.entry import EntryKind
from balewright.cause.case.payload import Fields, fields_of
from balewright.cause.evidence_value import Seen
from balewright.cli.answer import print_json
from balewright.cli.case_text import case_json, line_json, print_case_text, print_lines, say_case
from balewright.cli.causes_given import answers_given, numbers_given
from balewright.cli.entry import GOOD
from balewright.flows.add_to_case import Writing, add_to_case
from balewright.flows.close_case import Closing, close_case, reopen_case
from balewright.flows.list_cases import list_cases
from balewright.flows.network_in_force import network_in_force
from balewright.flows.open_case_with import OpeningWith, entry_for, open_case_with
from balewright.flows.prove_cure import prove_cure
from balewright.flows.read_case_of import read_case_of
from balewright.flows.share_case import ShareCase, share_case
from balewright.flows.take_in_case_entries import Handed, take_in_case_entries
from balewright.quantities.errors import BadInput, Fault
from balewright.store.case_entries import CaseLinkKind, Way

if TYPE_CHECKING:
    from balewright.flows.workplace import Workplace

Deed = Callable[["Workplace", argparse.Namespace], int]


def _list(workplace: Workplace, options: argparse.Namespace) -> int:
    lines = list_cases(workplace, options.machine)
    if options.json:
        print_json("case", {"cases": [line_json(one) for one in lines]})
    else:
        print_lines(lines)
    return GOOD


def _open(workplace: Workplace, options: argparse.Namespace) -> int:
    if options.machine is None:
        cure = "Name the machine, as `balewright due` does."
        raise BadInput(Fault("--machine", "a serial of the register", "none", cure))
    answers = _answers(workplace, options)
    opening = OpeningWith(options.machine, options.complaint, answers,
                          findings=tuple(options.finding), way=Way.COMMAND)  # fmt: skip
    return _show_case(workplace, options, open_case_with(workplace, opening).key)


def _answers(workplace: Workplace, options: argparse.Namespace) -> Mapping[str, Seen]:
    """What was given, every key one that the network knows."""
    given = answers_given(options)
    known = network_in_force(workplace, None).observation_by_key
    cure = "See `causes --list reports` (or findings, checks)."
    faults = [
        Fault(f"answer {key}", "an observation of the network", key, cure)
        for key in given
        if key not in known
    ]
    if faults:
        raise BadInput(*faults)
    return given


def _show(workplace: Workplace, options: argparse.Namespace) -> int:
    return _show_case(workplace, options, options.case)


def _answer(workplace: Workplace, options: argparse.Namespace) -> int:
    answers = _answers(workplace, options)
    if not answers:
        cure = "Give --yes, --no, --unknown or --read."
        raise BadInput(Fault("case answer", "an answer", "none", cure))
    network = network_in_force(workplace, None)
    for key, seen in answers.items():
        kind, payload = entry_for(network, key, seen)
        _add(workplace, options.case, kind, payload)
    return _show_case(workplace, options, options.case)


def _back(workplace: Workplace, options: argparse.Namespace) -> int:
    kept = read_case_of(workplace, options.case)
    if all(one.id != options.entry for one in kept.case.entries):
        cure = "See the ids in `balewright case show CASE --json`."
        raise BadInput(Fault("--entry", "an entry of this case", repr(options.entry), cure))
    _add(workplace, options.case, EntryKind.WENT_BACK, fields_of(entry=options.entry))
    return _show_case(workplace, options, options.case)


def _cause(workplace: Workplace, options: argparse.Namespace) -> int:
    _check_cause(workplace, options.cause)
    if not options.cause and not options.words:
        cure = "Give --cause or --words."
        raise BadInput(Fault("case cause", "what was wrong", "nothing", cure))
    payload = fields_of(cause=options.cause or None, words=options.words or None)
    _add(workplace, options.case, EntryKind.CAUSE_FOUND, payload)
    return _show_case(workplace, options, options.case)


def _check_cause(workplace: Workplace, key: str) -> None:
    if key and key not in network_in_force(workplace, None).cause_by_key:
        cure = "See `causes --list causes`, or say it in --words."
        raise BadInput(Fault("--cause", "a cause of the network", repr(key), cure))


def _repaired(workplace: Workplace, options: argparse.Namespace) -> int:
    parts = [
        {"part": name, "count": count}
        for name, count in numbers_given("--part", options.part, 1.0).items()
    ]
    if not (options.words or parts or options.swapped):
        cure = "Give --words, --part or --swapped."
        raise BadInput(Fault("case repaired", "what was done", "nothing", cure))
    payload = fields_of(
        words=options.words or None,
        parts=parts or None,
        minutes=options.minutes,
        travel_minutes=options.travel_minutes,
        at_bale=options.at_bale,
    )
    kind = EntryKind.SWAPPED if options.swapped else EntryKind.REPAIRED
    _add(workplace, options.case, kind, payload)
    prove_cure(workplace, options.case, way=Way.COMMAND)
    return _show_case(workplace, options, options.case)


def _prove(workplace: Workplace, options: argparse.Namespace) -> int:
    prove_cure(workplace, options.case, way=Way.COMMAND)
    return _show_case(workplace, options, options.case)


def _note(workplace: Workplace, options: argparse.Namespace) -> int:
    if not options.words.strip():
        raise BadInput(Fault("--words", "a note", "nothing", "Say it in --words."))
    _add(workplace, options.case, EntryKind.NOTE, fields_of(words=options.words))
    return _show_case(workplace, options, options.case)


def _close(workplace: Workplace, options: argparse.Namespace) -> int:
    _check_cause(workplace, options.cause)
    close_case(workplace, options.case, Closing(options.cause, options.words, way=Way.COMMAND))
    return _show_case(workplace, options, options.case)


def _reopen(workplace: Workplace, options: argparse.Namespace) -> int:
    if read_case_of(workplace, options.case).case.state is CaseState.REPAIRED:
        _add(workplace, options.case, EntryKind.REOPENED, fields_of(words=options.words or None))
    else:
        reopen_case(workplace, options.case, options.words, way=Way.COMMAND)
    return _show_case(workplace, options, options.case)


def _share(workplace: Workplace, options: argparse.Namespace) -> int:
    kind = CaseLinkKind.GUIDE if options.kind == "guide" else CaseLinkKind.READ
    wanted = ShareCase(options.case, "", options.days, kind, options.words, options.kind == "claim")
    made = share_case(workplace, wanted)
    way = f"/{'c' if kind is CaseLinkKind.GUIDE else 'd'}/{made.token}"
    until = f"{made.entry.valid_until:%Y-%m-%d %H:%M}"
    if options.json:
        link = {"way": way, "kind": options.kind, "until": made.entry.valid_until.isoformat()}
        print_json("case", {"case": options.case, "link": link})
    else:
        print(say_case("case.shared", way=way, until=until))
    return GOOD


def _print(workplace: Workplace, options: argparse.Namespace) -> int:
    from balewright.flows.case_paper import print_case

    if options.out is None:
        raise BadInput(Fault("--out", "a file to write", "none", "Name one, such as case.pdf."))
    made = print_case(workplace, options.case, "en", options.kind == "claim")
    place = Path(options.out)
    try:
        place.write_bytes(made)
    except OSError as error:
        given = error.strerror or "an error"
        raise BadInput(Fault("--out", "a file that can be written", given, "Name one.")) from error
    if options.json:
        print_json("case", {"case": options.case, "file": str(place), "bytes": len(made)})
    else:
        print(say_case("case.printed", file=str(place)))
    return GOOD


def _take_in(workplace: Workplace, options: argparse.Namespace) -> int:
    place = Path(options.case)
    try:
        content = place.read_bytes()
    except OSError as error:
        given = error.strerror or "an error"
        cure = "Check the name."
        raise BadInput(Fault(str(place), "a file that can be read", given, cure)) from error
    taken = take_in_case_entries(workplace, content, Handed(Way.COMMAND, name=place.name))
    if options.json:
        refused = [{"place": one.place, "reason": one.reason} for one in taken.refused]
        told = {"kept": list(taken.kept), "new": taken.new, "photos": list(taken.photos),
                "refused": refused, "cases": list(taken.cases)}  # fmt: skip
        print_json("case", told)
        return GOOD
    print(say_case("case.taken", count=len(taken.kept), new=taken.new, photos=len(taken.photos),
                   cases=", ".join(taken.cases) or "-"))  # fmt: skip
    for one in taken.refused:
        print(say_case("case.refused", place=one.place, reason=one.reason))
    return GOOD


def _add(workplace: Workplace, case: str, kind: EntryKind, payload: Fields) -> None:
    add_to_case(workplace, case, Writing(kind, payload, way=Way.COMMAND))


def _show_case(workplace: Workplace, options: argparse.Namespace, key: str) -> int:
    kept = read_case_of(workplace, key)
    network = network_in_force(workplace, None)
    if options.json:
        print_json("case", case_json(kept))
    else:
        print_case_text(kept, network)
    return GOOD


DEEDS: Final[Mapping[str, Deed]] = {
    "list": _list,
    "open": _open,
    "show": _show,
    "answer": _answer,
    "back": _back,
    "cause": _cause,
    "repaired": _repaired,
    "prove": _prove,
    "note": _note,
    "close": _close,
    "reopen": _reopen,
    "share": _share,
    "print": _print,
    "take-in": _take_in,
}
