"""``python -m shopstep`` and the ``shopstep`` command."""

from __future__ import annotations

import sys


def main() -> int:
    """Run the command line; returns the exit code."""
    from shopstep.cli.main import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    raise SystemExit(main())
