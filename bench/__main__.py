"""``python -m bench [NAME ...]``: run every bench/bench_*.py, write bench/RESULTS.md.

With names (``python -m bench sheet``) only those modules run, and RESULTS.md stays as it is.
Exit 0 when all gates are kept, 1 when one is not, 2 when there is nothing to run.
"""

import importlib
import sys
from pathlib import Path

from bench.row import Row
from bench.table import machine_line, render

_HERE = Path(__file__).resolve().parent


def main(names: list[str]) -> int:
    """Run the modules, print the table, report by exit status."""
    found = sorted(path.stem for path in _HERE.glob("bench_*.py"))
    wanted = [f"bench_{name}" for name in names] or found
    unknown = [name for name in wanted if name not in found]
    if unknown or not found:
        print(f"bench: no such bench {unknown}; there are {found}", file=sys.stderr)
        return 2
    rows: list[Row] = []
    for name in wanted:
        print(f"bench: {name} ...", file=sys.stderr)
        rows.extend(importlib.import_module(f"bench.{name}").run())
    page = render(rows, machine_line())
    print(page)
    if not names:
        (_HERE / "RESULTS.md").write_text(page, encoding="utf-8")
    return 0 if rows and all(row.passed for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
