"""The engine on published instances: ``python -m shopstep.sequence.benchmark FOLDER``.

Searches folders and what lies below them for ``.sch`` (minimum and maximum lags), ``.sm``
(PSPLIB), and job shops in plain text (``.txt``, ``.jsp``, ``.jss`` or no suffix; texts that are
named as notes, such as ``README.txt`` or ``params.txt``, are passed over). One row a file:
name, best, bound, proved, infeasible, seconds; a file that cannot be read says why in its row.
The exit code is 1 where any could not be read, 2 where there was nothing to read.
Imports ``sequence.engine``.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from shopstep.sequence.engine.outcome import Limits
from shopstep.sequence.engine.problem import BadProblem, Problem
from shopstep.sequence.engine.proofs import ProofProcess, is_solver_installed
from shopstep.sequence.engine.reading import Unreadable
from shopstep.sequence.engine.reading_lags import read_lag_project
from shopstep.sequence.engine.reading_projects import read_project
from shopstep.sequence.engine.reading_shops import read_job_shop
from shopstep.sequence.engine.solving import Prover, solve_problem

SHOP_SUFFIXES = (".txt", ".jsp", ".jss", "")
NOTES = ("readme", "license", "licence", "copying", "notice", "param", "about")
"""A plain text whose name begins so is about the instances and none itself."""
WIDTH = 34
"""Characters of the name in the table."""


@dataclass(frozen=True, slots=True)
class Row:
    """What is printed of one file."""

    name: str
    best: int | None = None
    bound: int | None = None
    proved: bool = False
    infeasible: bool = False
    seconds: float = 0.0
    error: str | None = None


def find_files(folder: Path) -> list[Path]:
    """Every file that may hold an instance, by path; a file is taken as it is."""
    if folder.is_file():
        return [folder]
    return sorted(path for path in folder.rglob("*") if path.is_file() and _is_instance(path))


def _is_instance(path: Path) -> bool:
    name, suffix = path.name.lower(), path.suffix.lower()
    if name.startswith("."):
        return False
    if suffix in (".sch", ".sm"):
        return True
    return suffix in SHOP_SUFFIXES and not name.startswith(NOTES)


def read_instance(path: Path) -> Problem:
    """The problem in a file. Raises ``Unreadable`` with the line and what is wrong there."""
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise Unreadable(f"the file cannot be opened ({error.strerror})") from None
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise Unreadable(f"line {line}: this is not plain text") from None
    if path.suffix.lower() == ".sch":
        return read_lag_project(text)
    if path.suffix.lower() == ".sm":
        return read_project(path, text)
    return read_job_shop(text)


def run_file(path: Path, name: str, limits: Limits, seed: int, prover: Prover | None) -> Row:
    """Reads and solves one file."""
    begun = time.monotonic()
    try:
        outcome = solve_problem(read_instance(path), limits, seed=seed, prover=prover)
    except (Unreadable, BadProblem) as why:
        return Row(name, seconds=_since(begun), error=str(why))
    return Row(
        name,
        outcome.length,
        None if outcome.infeasible else outcome.bound,
        outcome.proved,
        outcome.infeasible,
        _since(begun),
    )


def _since(begun: float) -> float:
    return round(time.monotonic() - begun, 3)


def format_row(row: Row) -> str:
    """One line of the table."""
    if row.error is not None:
        return f"{row.name:<{WIDTH}} could not be read: {row.error}"
    best = "–" if row.best is None else str(row.best)
    bound = "–" if row.bound is None else str(row.bound)
    proved, infeasible = ("yes" if flag else "no" for flag in (row.proved, row.infeasible))
    return (
        f"{row.name:<{WIDTH}} {best:>8} {bound:>8} {proved:>7} {infeasible:>11} {row.seconds:>8.2f}"
    )


def _heading() -> str:
    return (
        f"{'name':<{WIDTH}} {'best':>8} {'bound':>8} {'proved':>7} {'infeasible':>11} "
        f"{'seconds':>8}"
    )


def _run_all(folder: Path, options: argparse.Namespace) -> Iterator[Row]:
    limits = Limits(seconds=options.limit, rounds=options.rounds)
    with contextlib.ExitStack() as stack:
        prover = None
        if options.proofs and is_solver_installed():
            prover = stack.enter_context(ProofProcess())
        for path in find_files(folder):
            name = path.name if folder.is_file() else path.relative_to(folder).as_posix()
            yield run_file(path, name, limits, options.seed, prover)


def main(arguments: list[str] | None = None) -> int:
    """Prints the table or the JSON list; returns the exit code."""
    options = _make_parser().parse_args(arguments)
    folder: Path = options.directory
    if not folder.exists():
        print(f"There is no folder '{folder}'.", file=sys.stderr)
        return 2
    rows: list[Row] = []
    if not options.json:
        print(_heading())
    for row in _run_all(folder, options):
        rows.append(row)
        if not options.json:
            print(format_row(row), flush=True)
    if options.json:
        print(json.dumps([asdict(row) for row in rows], indent=1, ensure_ascii=False))
    if not rows:
        print(f"No .sch, .sm, .txt, .jsp or .jss file in '{folder}' or below it.", file=sys.stderr)
        return 2
    return 1 if any(row.error is not None for row in rows) else 0


def _make_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m shopstep.sequence.benchmark",
        description="Solves published scheduling instances with the engine for whole problems.",
    )
    parser.add_argument("directory", type=Path, help="a folder with instances, or one file")
    parser.add_argument(
        "--limit",
        type=_positive,
        default=10.0,
        metavar="SECONDS",
        help="the most for one instance (10)",
    )
    parser.add_argument(
        "--rounds", type=int, default=None, help="the most rounds of search; repeatable"
    )
    parser.add_argument("--seed", type=int, default=0, help="of the chance in the search (0)")
    parser.add_argument("--json", action="store_true", help="a JSON list instead of the table")
    parser.add_argument(
        "--no-proofs",
        dest="proofs",
        action="store_false",
        help="leave the solver of the extra 'proofs' out, even where it is installed",
    )
    return parser


def _positive(word: str) -> float:
    try:
        seconds = float(word)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{word}' is not a number of seconds") from None
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(f"{word} seconds; more than 0 is right")
    return seconds


if __name__ == "__main__":
    sys.exit(main())
