"""Bare inserts of the same files into plain SQLite, in one transaction with full sync: what a book cannot be faster than."""
import csv
import pathlib
import sqlite3
import sys

folder = pathlib.Path(sys.argv[1])
path = folder / "rival.sqlite"
path.unlink(missing_ok=True)
base = sqlite3.connect(path, isolation_level=None)
base.execute("PRAGMA journal_mode=WAL")
base.execute("PRAGMA synchronous=FULL")
base.execute("BEGIN")
for name in ("schedule", "references", "readings"):
    with open(folder / f"{name}.csv", newline="") as lines:
        rows = csv.reader(lines)
        heads = next(rows)
        base.execute(f'CREATE TABLE "{name}" (id INTEGER PRIMARY KEY, {", ".join(chr(34) + head + chr(34) for head in heads)})')
        base.executemany(f'INSERT INTO "{name}" VALUES (NULL{", ?" * len(heads)})', rows)
base.execute("COMMIT")
base.close()
path.unlink()
