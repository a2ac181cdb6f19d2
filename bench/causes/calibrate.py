"""Count how often findings stand in tuning seasons, by cause, and keep it beside the network.

`python -m bench.causes.calibrate --into FILE` writes the [[rehearsed]] tables; without, it prints
what was judged beside what was counted. Reporting seasons are not touched.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Mapping
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from bench.causes.truth import play, records_show
from bench.causes.truth_book import causes_of
from bench.findings.seasons import TUNING, Case, plain_cases

from balewright.cause.evidence_value import Answer
from balewright.readers.fault_network import shipped_network

Key = tuple[str, str]
HEAD = (
    "# In how many tuning seasons of the rehearsal each finding stood at the season's end, by the\n"
    "# cause that was planted; without a cause: in seasons in which nothing was wrong. Written by\n"
    "# python -m bench.causes.calibrate\n"
)


def shown_in(case: Case) -> tuple[tuple[str, ...], Mapping[str, bool]] | None:
    """The causes of a season ("" where there is none) and what its records showed or did not."""
    played = play(case)
    if played is None:
        return None
    _, seen = records_show(played)
    told = {key: one.answer is Answer.YES for key, one in seen.items()}
    if case.fault is None or played.planted is None:
        return ("",), told
    return causes_of(case.fault, played.planted.severity), told


def count(cases: Iterable[Case], workers: int) -> tuple[Counter[Key], Counter[Key]]:
    """In how many seasons yes, and in how many at all, by cause and observation."""
    yes, whole = Counter[Key](), Counter[Key]()
    linked = {(link.cause, link.on) for link in shipped_network().links}
    with ProcessPoolExecutor(workers) as pool:
        for season in pool.map(shown_in, cases, chunksize=4):
            if season is None:
                continue
            causes, told = season
            for cause in causes:
                for on, stood in told.items():
                    if not cause or (cause, on) in linked:
                        whole[cause, on] += 1
                        yes[cause, on] += stood
    return yes, whole


def both_dispensers(counts: Counter[Key]) -> Counter[Key]:
    """Faults are planted on dispenser 1; what holds for it holds for the other."""
    mirrored = Counter(counts)
    for (cause, on), number in counts.items():
        if cause.endswith("_1"):
            other = f"{on[:-2]}_2" if on.endswith("_1") else on
            mirrored[f"{cause[:-2]}_2", other] = number
    return mirrored


def main() -> None:
    """Count, and write or print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--into", type=Path)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    yes, whole = count(plain_cases(TUNING, options.quick), options.workers)
    yes, whole = both_dispensers(yes), both_dispensers(whole)
    linked = {(link.cause, link.on): link.chance_frac for link in shipped_network().links}
    keys = sorted(key for key in whole if not key[0] or key in linked)
    if options.into is None:
        for cause, on in keys:
            known = linked.get((cause, on))
            now = shipped_network().observation(on).leak_frac if known is None else known
            print(
                f"{cause or '-':28} {on:24} {yes[cause, on]:4} of {whole[cause, on]:4}  {now:.3f}"
            )
        return
    lines = [HEAD]
    for cause, on in keys:
        named = f'cause = "{cause}"\n' if cause else ""
        lines.append(f'[[rehearsed]]\n{named}on = "{on}"\nyes = {yes[cause, on]}\n')
        lines.append(f"of = {whole[cause, on]}\n\n")
    options.into.write_text("".join(lines).rstrip() + "\n")


if __name__ == "__main__":
    main()
