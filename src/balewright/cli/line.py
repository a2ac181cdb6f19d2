"""The command line itself: what argparse finds wrong, said as place, need, given and cure."""

from __future__ import annotations

import argparse
import re
from difflib import get_close_matches
from typing import Any, Final, NoReturn

from balewright.quantities.errors import BadInput, Fault

#: what argparse says -> what was needed and given; the place is a group too where it is named.
_SAID: Final = (
    (r"argument (?P<place>\S+): expected (?P<what>.*)", "{what} after it", "none"),
    (r"argument (?P<place>\S+): not allowed with argument (?P<what>\S+)", "no {what}", "both"),
    (r"the following arguments are required: (?P<what>.*)", "{what}", "a line without"),
    (r"one of the arguments (?P<what>.*) is required", "one of {what}", "none of them"),
)
_INVALID_VALUE: Final = re.compile(r"argument (\S+): invalid (\w+) value: (.*)", re.DOTALL)
_INVALID_CHOICE: Final = re.compile(
    r"argument (\S+): invalid choice: (.*) \(choose from (.*)\)", re.DOTALL
)
_KINDS: Final = {
    "int": "a whole number",
    "float": "a number",
    "fraction": "a share, as in 0.70 or 70%",
}


class CommandLine(argparse.ArgumentParser):
    """A parser whose errors are BadInput; options are taken only as they are spelt."""

    def __init__(self, **given: Any) -> None:
        super().__init__(**{**given, "allow_abbrev": False})

    def error(self, message: str) -> NoReturn:
        """Raise BadInput with what argparse found."""
        raise BadInput(_fault(message, f"See `{self.prog} --help`.", self.prog))


def mark_needed(parser: argparse.ArgumentParser) -> None:
    """Say in the help of each option that must be given that it must be."""
    for action in parser._actions:
        if action.required and action.help and action.option_strings:
            action.help = f"{action.help}; needed"


def read_line(parser: CommandLine, asked: CommandLine | None, words: list[str]) -> Any:
    """Parse the words. BadInput for the first that is not known, with the nearest that is.

    An option that no one knows is told before one that is missing: it may be that one, misspelt.
    """
    used = asked or parser
    known = [name for action in used._actions for name in action.option_strings]
    shown = [
        name
        for action in used._actions
        if action.help != argparse.SUPPRESS
        for name in action.option_strings
    ]
    if asked is not None:
        told = words[: words.index("--")] if "--" in words else words
        for word in told:
            if word.startswith("--") and word.partition("=")[0] not in known:
                raise BadInput(_unknown(word, shown, used.prog))
    options, unknown = parser.parse_known_args(words)
    if unknown:
        raise BadInput(_unknown(unknown[0], shown, used.prog))
    return options


def _unknown(word: str, shown: list[str], prog: str) -> Fault:
    name = word.partition("=")[0]
    is_option = name.startswith("-")
    meant = shown if is_option else [one for one in shown if one != "--help"]
    near = get_close_matches(name if is_option else f"--{name}", meant, n=1)
    hint = f"Did you mean {near[0]}? " if near else ""
    given = "an option without this meaning" if is_option else "one word too many"
    return Fault(name, f"only what `{prog}` knows", given, f"{hint}See `{prog} --help`.")


def _fault(message: str, cure: str, prog: str) -> Fault:
    if found := _INVALID_VALUE.fullmatch(message):
        return Fault(found[1], _KINDS.get(found[2], found[2]), found[3], cure)
    if found := _INVALID_CHOICE.fullmatch(message):
        names = [name.strip().strip("'") for name in found[3].split(",")]
        near = get_close_matches(found[2].strip("'"), names, n=1)
        hint = f"Did you mean {near[0]}? " if near else ""
        return Fault(found[1], f"one of {', '.join(names)}", found[2], hint + cure)
    for pattern, need, given in _SAID:
        if said := re.fullmatch(pattern, message):
            named = said.groupdict()
            return Fault(named.get("place", prog), need.format(**named), given, cure)
    return Fault(prog, "a line as its help says", message, cure)
