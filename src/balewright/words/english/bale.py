"""One bale with where its values come from, corrections, and merging of files."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "command.compact.nothing": "Nothing to merge.",
    "command.compact.done": "Files: {before} became {after}. Rows: {rows}, bales: {bales}.",
    "command.correct.done": "Corrected: {column} is {value}. Bales: {count}. Key: {named}.",
    "command.correct.back": "Taken back: {column}. Key: {named}.",
    "command.correct.none": "No corrections of {machine}.",
    "command.bale.none": "No bales of {machine}.",
    "command.bale.more": "... {count} more. --first says where to begin.",
    "bale.at.line": "line {at}",
    "bale.at.row": "row {at}",
    "bale.at.byte": "byte {at}",
    "bale.at.message": "message {at}",
    "bale.at.none": "row {at} of those kept; its place in the file was not noted",
    "bale.why.only": "nobody else says it",
    "bale.why.same": "all that say it agree",
    "bale.why.more_known": "its row knows more of this bale",
    "bale.why.lower_hash": "its row knows as much; of two such files the lower hash counts",
    "bale.why.same_file": "the file gives this bale twice; this comes first",
    "bale.why.corrected": "put right by a person",
}
