"""Why bales are said to lie under a wrong job, and what the counting commands print."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "misplaced.inside": "{bales} of them lie more than {border_m} within the border of {field}.",
    "misplaced.home.told": "{job} is meant for {field}, which is drawn too.",
    "misplaced.home.guessed": "Most other bales of {job} lie in {field}.",
    "misplaced.home.unseen": "Most other bales of {job} lie elsewhere; its own field is not drawn.",
    "misplaced.nobody": "No job here is meant for {field}: somebody has to name one.",
    "misplaced.there.told": "{field} is the field of {job}.",
    "misplaced.there.guessed": "Most bales of {job} lie in {field}.",
    "misplaced.meets": "{job} stands right beside them in time, at the same place.",
    "misplaced.cloud": "Half of them lie within {near_m} of a bale of {job}, and apart from the "
    "other bales of their own job.",
    "misplaced.no_outline": "No outline of the field of {job} is known: a drawn one would say "
    "more.",
    "misplaced.sure.clear": "clear",
    "misplaced.sure.likely": "likely",
    "misplaced.sure.weak": "weak",
    "misplaced.line": "{bales} bales of job {job} lie in field {field}",
    "misplaced.line.cloud": "{bales} bales of job {job} lie among those of job {belongs_to}",
    "misplaced.on_border": "{bales} on the border, placed by their neighbours in time.",
    "misplaced.by_time": "{bales} without a place of their own, placed by time between neighbours.",
    "misplaced.none": "No bales were found under a wrong job.",
    "misplaced.proposed": "Proposed: put them under {job}.",
    "misplaced.accepted": "{bales} bales of {machine} now stand under {job}, beside the record: "
    "{split} takes it back.",
    "misplaced.withdrawn": "Taken back: the bales stand as their files say.",
    "misplaced.accept_with": "Accept with: balewright misplaced --accept {split}",
    "misplaced.numbers": "Bales {numbers}, from {since} to {until}.",
    "misplaced.added": "Fields added: {count}.",
    "misplaced.outlines": "Fields drawn: {count}.",
    "counting.lifetime": "Lifetime bales: {bales}",
    "counting.lifetime.least": "Lifetime bales: at least {bales}",
    "counting.lifetime.unknown": "Lifetime bales: unknown, no bale was taken in",
    "counting.least.unnumbered": "Its bales have no numbers: only those taken in are known.",
    "counting.least.more_recorded": "More bales were taken in than the numbers tell.",
    "counting.least.epoch_unseen": "A control before or between those recorded was never seen.",
    "counting.least.epoch_untold": "Nobody says whether the control was swapped or reset before or "
    "between.",
    "counting.least.untimed": "Bales without a time cannot be put before or behind a swap.",
    "counting.least.fell": "Numbers fell where no swap was told.",
    "counting.counter.epoch": "Counter {epoch}",
    "counting.counter.period": "Counter after {swaps:told swap|told swaps}",
    "counting.counter.first": "Counter before any told swap",
    "counting.counter.one": "Counter (nobody tells which)",
    "counting.counter.untimed": "Bales without a time",
    "counting.sum.numbers": "{numbers} seen + {missing} missing + {leapt} leapt over = {span} "
    "numbers "
    "from {first_no} to {last_no}",
    "counting.sum.bales": "{numbers} numbers − {only_passes} seen on a second wrapping only + "
    "{further} further bales of a number = {bales} bales",
    "counting.sum.all": "{counted} numbered + {unnumbered} without a number = {recorded} bales "
    "recorded",
    "counting.missing": "Missing: {numbers}, between {after} and {before}",
    "counting.leapt": "Leapt over: {numbers}, between {after} and {before}",
    "counting.repeat": "Number {number} stands in {rows} rows ({bales} bales): {times}",
    "counting.repeat.files": " in {files}",
    "counting.back": "Number {to_no} follows {from_no} at {at}",
    "counting.back.swap": "Number {to_no} follows {from_no} at {at}: was the control swapped "
    "or reset?",
    "counting.back.job": "Number {to_no} follows {from_no} at {at}, where the job changes: a "
    "job's own "
    "count, or a swapped control?",
    "counting.junk": "No count: {numbers} at {at} (bales: {bales}); the next ones go on from "
    "before",
    "counting.swap": "Swap told at {at}: {note}",
    "counting.unplaced": "Swap told before bale {number}, which no bale places",
    "counting.odd": "Burst {burst}, tests {test}, wrapped again {rewrapped}",
    "counting.unknown_time": "an unknown time",
    "counting.told": "Kept: the control was swapped between bales {last_no} and {first_no}.",
    "counting.taken_back": "Taken back: what was told of the swap at {at} counts no more.",
    "rolls_used.nothing": "No bale is known with film or net of batch {batch}.",
    "rolls_used.sum": "Of batch {batch}: {bales:bale|bales} of {machines:machine|machines}.",
    "rolls_used.column.machine": "machine",
    "rolls_used.column.roll": "roll",
    "rolls_used.column.job": "job",
    "rolls_used.column.customer": "customer",
    "rolls_used.column.bales": "bales",
    "rolls_used.column.numbers": "numbers",
    "rolls_used.column.since": "from",
    "rolls_used.column.until": "to",
    "counting.struck": "Struck: the number of {bales:bale|bales} was {number} and is unknown now.",
}
