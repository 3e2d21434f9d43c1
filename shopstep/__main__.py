"""``python -m shopstep`` and the ``shopstep`` command."""

from __future__ import annotations

import gc
import sys

COLLECTED_EVERY = 50_000
"""Objects between two looks for garbage. Loading makes more than 90,000 that all stay; with the
usual 700 a fifth of the time to the first frame went into looking through them."""

INTERRUPTED = 130
"""As in ``wiring.problems``, which is not loaded yet."""


def main() -> int:
    """Run the command line; returns the exit code."""
    gc.set_threshold(COLLECTED_EVERY)
    try:
        from shopstep.cli.main import run

        return run(sys.argv[1:])
    except KeyboardInterrupt:  # before the commands were loaded
        return INTERRUPTED


if __name__ == "__main__":
    raise SystemExit(main())
