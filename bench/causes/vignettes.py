"""Written cases against the ranking: where what it was stands, and what would be done next.

    python -m bench.causes.vignettes [--half mending|reporting] [--short]

The network may be corrected by `mending` only; `reporting` tells how good it is, and nothing is
changed for it.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from bench.causes.told_cases import HALVES, NOT_ENOUGH, Outcome, read_cases, try_case


def totals(outcomes: Sequence[Outcome]) -> dict[str, float]:
    """Shares of cases: first, in the first three, told apart, settled, and held back."""
    enough = [one for one in outcomes if NOT_ENOUGH not in one.case.kinds]
    held = [one for one in outcomes if NOT_ENOUGH in one.case.kinds]
    named = [one for one in enough if one.case.settles[0] in one.step]
    return {
        "cases": len(enough),
        "first": _share([one.place == 1 for one in enough]),
        "in_three": _share([one.place <= 3 for one in enough]),
        "settled": _share([one.settled_place == 1 for one in enough]),
        "named_next": len(named) / len(enough),
        "clear_and_wrong": _share([one.clear and one.place > 1 for one in enough]),
        "held_back": _share([not one.clear for one in held]),
    }


def _share(held: Sequence[bool]) -> float:
    return sum(held) / len(held) if held else 1.0


def main() -> None:
    """Print a table of cases and the totals of both halves."""
    parser = argparse.ArgumentParser(prog="python -m bench.causes.vignettes")
    parser.add_argument("--half", choices=HALVES)
    parser.add_argument("--short", action="store_true", help="totals only")
    given = parser.parse_args()
    for half in HALVES if given.half is None else (given.half,):
        outcomes = [try_case(case) for case in read_cases(half)]
        if not given.short:
            _print_cases(outcomes)
        print(f"{half}: " + ", ".join(f"{k} {v:.2f}" for k, v in totals(outcomes).items()))


def _print_cases(outcomes: Sequence[Outcome]) -> None:
    print("| case | it was | place | chance | clear | next step | check that settles: place |")
    print("|---|---|---|---|---|---|---|")
    for one in outcomes:
        places = ", ".join(map(str, one.all_places))
        first = "" if one.place == 1 else f" (first: {one.first})"
        print(
            f"| {one.case.key} | {' + '.join(one.case.was)} | {places}{first} | "
            f"{one.behind_frac:.2f} | {'yes' if one.clear else 'no'} | {one.step} | "
            f"{one.case.settles[0]}: {one.settled_place} ({one.settled_frac:.2f}) |"
        )


if __name__ == "__main__":
    main()
