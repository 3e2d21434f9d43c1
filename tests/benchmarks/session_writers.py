"""Four writers at one session for a while: versions without a gap, nothing lost, nobody locked out.

``python -m tests.benchmarks.session_writers [SECONDS]`` (30 where none is given).
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from shopstep.session.events import NoteTaken
from shopstep.storage.session_file import SessionFile
from tests.test_session_crash import make_template, start

NAMES = ("bench", "tablet", "do", "plain")


def main(arguments: list[str]) -> None:
    """Prints how many commands each writer stored; an AssertionError where one is missing."""
    seconds = arguments[0] if arguments else "30"
    with tempfile.TemporaryDirectory() as folder:
        path = make_template(Path(folder))
        writers = [start("run_writer", str(path), name, "1000000", seconds) for name in NAMES]
        said = [process.communicate()[0].splitlines() for process in writers]
        with SessionFile.open(path) as file:
            envelopes = file.events_after(0)
    assert [one.version for one in envelopes] == list(range(1, len(envelopes) + 1))
    notes = [one.event.text for one in envelopes if isinstance(one.event, NoteTaken)]
    for name, lines in zip(NAMES, said, strict=True):
        confirmed = int(lines[-1].removeprefix("stored "))
        assert lines[:-1] == [], lines[:-1]
        own = [text for text in notes if text.startswith(f"{name} ")]
        assert own == [f"{name} {number}" for number in range(confirmed)]
        print(f"{name:8} {confirmed:6} commands stored, none refused, none lost")


if __name__ == "__main__":
    main(sys.argv[1:])
