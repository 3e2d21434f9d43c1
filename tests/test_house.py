"""The walls of the house: who may import whom, and what stays out of the way of a quick start."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
HEAVY = (
    "pydantic",
    "pint",
    "ruamel.yaml",
    "lark",
    "textual",
    "rich",
    "numpy",
    "ortools",
    "manifold3d",
    "aiohttp",
    "textual_serve",
    "cryptography",
    "segno",
    "onnxruntime",
    "hibari",
    "pocketsphinx",
    "sounddevice",
    "shopstep.voice",
)


def loaded_by(code: str) -> set[str]:
    """The modules in ``sys.modules`` after running a piece of code in a new interpreter."""
    script = f"{code}\nimport sys, json; print('\\n' + json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_imports_only_go_down() -> None:
    """The contracts stand in pyproject.toml."""
    tool = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run(
        [str(tool), "--no-cache"], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    "code",
    [
        "import shopstep.workbench",
        "import shopstep.storage.session_file",
        "import shopstep.wiring.benches",
        "from shopstep.cli.main import run; run(['rack', 'list'])",
        "from shopstep.cli.main import run; run(['--help'])",
        "from shopstep.cli.main import run; run(['do', '--help'])",
        "from shopstep.cli.main import run; run(['tablet', '--help'])",
        "from shopstep.cli.main import run; run(['devices'])",
        "from shopstep.cli.main import run; run(['hear', '--help'])",
        "from shopstep.cli.main import run; run(['voice', 'test', '--help'])",
        "import shopstep.cli.bench_commands",
        "import shopstep.cli.start_command",
        "from shopstep.cli.main import run; run(['where'])",
        "from shopstep.cli.main import run; run(['log', 'nowhere.session'])",
    ],
)
def test_nothing_heavy_is_loaded_where_it_is_not_used(code: str) -> None:
    assert not loaded_by(code).intersection(HEAVY)


def test_one_command_loads_no_improver_and_the_bench_loads_no_search() -> None:
    """A better plan is looked for in a process of its own, and only where a person stays."""
    loaded = loaded_by("import shopstep.cli.bench_commands")
    assert "shopstep.wiring.improver" not in loaded
    loaded = loaded_by("import shopstep.wiring.improver")
    assert not loaded.intersection({"shopstep.sequence.bettering", "subprocess", *HEAVY})


def test_a_screen_that_listens_loads_neither_recogniser_nor_microphone() -> None:
    """They are in the process beside it."""
    loaded = loaded_by("import shopstep.wiring.listening, shopstep.tui.hearing")
    assert not loaded.intersection({"numpy", "pocketsphinx", "sounddevice", "shopstep.voice.hear"})


@pytest.mark.parametrize("command", ["plan", "check"])
def test_solids_are_loaded_only_where_one_is_asked_for(command: str) -> None:
    code = f"from shopstep.cli.main import run; run(['{command}', 'screened-floor'])"
    assert not loaded_by(code).intersection({"numpy", "manifold3d"})


def test_the_planner_needs_no_screen_and_no_database() -> None:
    loaded = loaded_by("import shopstep.planner")
    assert not loaded.intersection({"textual", "rich", "ortools", "sqlite3", "click", "pint"})


def test_no_source_file_is_longer_than_400_lines() -> None:
    for path in sorted((ROOT / "shopstep").rglob("*.py")):
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path
