"""Random sequences at the bench against the small model, many more than the tests run.

``python -m tests.benchmarks.session_sequences [SEQUENCES]`` (5,000 where none is given).
"""

from __future__ import annotations

import sys
import time

from hypothesis import HealthCheck, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.test_session_machine import Bench


def main(arguments: list[str]) -> None:
    """Ends with an error where the session and the model differ."""
    sequences = int(arguments[0]) if arguments else 5_000
    began = time.monotonic()
    run_state_machine_as_test(
        Bench,
        settings=settings(
            max_examples=sequences,
            stateful_step_count=60,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    print(f"{sequences} sequences of up to 60 commands agree, {time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main(sys.argv[1:])
