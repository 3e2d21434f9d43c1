"""The layout of lengths on published instances: ``python -m shopstep.stock.benchmark FOLDER``.

Searches a folder and what lies below it for plain texts (``.txt``, ``.bpp``, ``.csp`` or no
suffix; see ``lengths.reading`` for their forms). One row for each instance: name, best, bound,
proved, seconds; a file that cannot be read says why in its row. The exit code is 1 where any could
not be read, 2 where there was nothing to read. Imports ``stock.lengths``.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from shopstep.stock.lengths.reading import Unreadable, read_instances
from shopstep.stock.lengths.solving import pack_lengths

SUFFIXES = (".txt", ".bpp", ".csp", "")
NOTES = ("readme", "license", "licence", "copying", "notice", "about")
"""A text whose name begins so is about the instances and none itself."""
WIDTH = 30
"""Characters of the name in the table."""


@dataclass(frozen=True, slots=True)
class Row:
    """What is printed of one instance."""

    name: str
    best: int | None = None
    bound: int | None = None
    proved: bool = False
    seconds: float = 0.0
    best_known: int | None = None
    error: str | None = None


def find_files(folder: Path) -> list[Path]:
    """Every file that may hold instances, by path; a file is taken as it is."""
    if folder.is_file():
        return [folder]
    return sorted(path for path in folder.rglob("*") if path.is_file() and _is_instance(path))


def _is_instance(path: Path) -> bool:
    name = path.name.lower()
    return path.suffix.lower() in SUFFIXES and not name.startswith((".", *NOTES))


def run_file(path: Path, limit_s: float) -> Iterator[Row]:
    """A row for each instance of a file."""
    try:
        instances = read_instances(path.stem, path.read_bytes().decode("utf-8-sig"))
    except Unreadable as problem:
        yield Row(path.name, error=str(problem))
        return
    except UnicodeDecodeError:
        yield Row(path.name, error="it is no text")
        return
    except OSError as problem:
        yield Row(path.name, error=problem.strerror or str(problem))
        return
    for instance in instances:
        began = time.monotonic()
        found = pack_lengths(instance.lengths, limit_s)
        seconds = round(time.monotonic() - began, 3)
        yield Row(
            instance.name,
            len(found.bars),
            found.bound,
            found.is_proved,
            seconds,
            instance.best_known,
        )


def _line(row: Row) -> str:
    if row.error is not None:
        return f"{row.name:<{WIDTH}} cannot be read: {row.error}"
    known = "" if row.best_known is None else f"{row.best_known:>7}"
    proved = "yes" if row.proved else "no"
    return f"{row.name:<{WIDTH}}{row.best:>7}{row.bound:>7}{proved:>8}{row.seconds:>9.2f}{known}"


def main(arguments: list[str]) -> int:
    """Run all instances below a folder; see the module."""
    parser = argparse.ArgumentParser(
        prog="python -m shopstep.stock.benchmark",
        description="Cut lengths from bars: published instances in plain text.",
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--limit", type=float, default=20.0, metavar="SECONDS")
    parser.add_argument("--json", action="store_true", help="one document instead of a table")
    given = parser.parse_args(arguments)
    if not given.folder.exists():
        print(f"{given.folder} is not there", file=sys.stderr)
        return 2
    rows: list[Row] = []
    if not given.json:
        print(f"{'name':<{WIDTH}}{'best':>7}{'bound':>7}{'proved':>8}{'seconds':>9}  known")
    for row in (row for path in find_files(given.folder) for row in run_file(path, given.limit)):
        rows.append(row)
        if not given.json:
            print(_line(row), flush=True)
    if given.json:
        print(json.dumps({"version": 1, "instances": [asdict(row) for row in rows]}, indent=2))
    if not rows:
        print(f"nothing to read in {given.folder}", file=sys.stderr)
        return 2
    return 1 if any(row.error for row in rows) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
