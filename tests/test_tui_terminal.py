"""The screen on a real terminal: it starts, shows the step, leaves, and keeps to NO_COLOR."""

from __future__ import annotations

import os
import pty
import re
import select
import subprocess
import sys
from pathlib import Path

import pytest

from shopstep.tui import run_bench
from tests.fake_bench import FakeBench

ROOT = Path(__file__).parent.parent
RUN = (
    "import sys\n"
    "from shopstep.tui import run_bench\n"
    "from tests.fake_bench import CAUTION, STEP, FakeBench\n"
    "bench = FakeBench(CAUTION if 'caution' in sys.argv else STEP)\n"
    "sys.exit(run_bench(bench))\n"
)
COLOUR = re.compile(r"\x1b\[(?:\d+;)*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[\d;]*)?m")
"""A style sequence that sets a colour (ECMA-48, SGR 30–48, and the bright ones)."""


def run_on_terminal(*words: str, env: dict[str, str], until: str) -> tuple[str, int]:
    """Start the screen on a terminal of its own, wait for a word, press q; output and exit code."""
    ours, theirs = pty.openpty()
    places = {"COLUMNS": "80", "LINES": "24", "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    with subprocess.Popen(
        [sys.executable, "-c", RUN, *words],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=ROOT,
        env=kept | places | env,
        start_new_session=True,
    ) as child:
        os.close(theirs)
        try:
            seen = read_until(ours, until)
            os.write(ours, b"q")
            seen += read_until(ours, "")
        finally:
            os.close(ours)
        return seen, child.wait(timeout=20)


def read_until(terminal: int, word: str) -> str:
    """What the terminal is sent until the word comes, or until it is closed."""
    seen = b""
    while not word or word.encode() not in seen:
        if not select.select([terminal], [], [], 20)[0]:
            raise AssertionError(f"'{word}' did not come: {seen[-400:]!r}")
        try:
            part = os.read(terminal, 65536)
        except OSError:  # the other end is closed
            break
        if not part:
            break
        seen += part
    return seen.decode(errors="replace")


def test_the_screen_starts_and_leaves_with_nothing_to_complain_of() -> None:
    seen, code = run_on_terminal(env={"COLORTERM": "truecolor"}, until="Dry fit, unit 1")
    assert code == 0
    assert COLOUR.search(seen)
    assert "Traceback" not in seen


@pytest.mark.parametrize("words", [(), ("caution",)])
def test_with_no_color_not_one_colour_is_sent(words: tuple[str, ...]) -> None:
    # no-color.org: output without ANSI colour when NO_COLOR is set
    until = "trained people" if words else "Dry fit, unit 1"
    seen, code = run_on_terminal(*words, env={"NO_COLOR": "1"}, until=until)
    assert code == 0
    assert COLOUR.search(seen) is None
    assert "\x1b[1;7;39;49m" in seen  # bold and reversed, in the terminal's own two colours


def test_a_theme_that_there_is_not_is_told_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="There is no theme 'neon'; there are dark, light"):
        run_bench(FakeBench(), theme="neon")


def modules_after(code: str) -> set[str]:
    """Top-level and package names that are loaded after running the code in a fresh process."""
    show = f"{code}; import sys; print(*sorted(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", show], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return set(done.stdout.split())


def test_asking_for_the_screen_costs_nothing_before_it_runs() -> None:
    loaded = modules_after("import shopstep.tui")
    assert loaded.isdisjoint({"textual", "rich", "asyncio"})


def test_the_running_screen_loads_nothing_heavy() -> None:
    loaded = modules_after("import shopstep.tui.app, shopstep.tui.screens.bench_screen")
    heavy = {"pydantic", "pint", "numpy", "ruamel", "lark", "click", "sqlite3", "shopstep.planner"}
    assert loaded.isdisjoint(heavy)
