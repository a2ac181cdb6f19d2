"""Write the lines of docs/measures.md anew from the code, by hand after a measure changed:
`PYTHONPATH=src:tests/findings/measures python tests/findings/measures/renew_table.py`.

A measure that is new needs its line entered first, with its key alone; the prose is the writer's.
"""

from __future__ import annotations

from test_documented import PAGE, row

from balewright.findings.measures.book import EXPLAINS, MEASURES


def main() -> None:
    """Replace each line that begins with the key of a measure or of what explains."""
    rows = {f"| `{one.key}` |": row(one) for one in MEASURES}
    heads = {
        f"| `{one.key}` | ": f"| `{one.key}` | {one.centre:g} {one.unit} | {one.scale:g} |"
        for one in EXPLAINS.values()
    }
    lines = PAGE.read_text().splitlines()
    explaining = lines.index("## What explains")
    for place, line in enumerate(lines):
        key = line[: line.find("|", 2) + 1]
        if place < explaining and key in rows:
            lines[place] = rows[key]
        elif f"{key} " in heads:
            lines[place] = f"{heads[f'{key} ']} {line.split('|')[-2].strip()} |"
    PAGE.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
