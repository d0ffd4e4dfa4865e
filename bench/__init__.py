"""Speed against gates; each bench_*.py offers ``run() -> list[Row]`` (see row.py)."""
