"""The wheel holds all that the program needs, and runs outside the source tree.

``.ci/run`` installs the same wheel into a new environment with its dependencies from the registry.
"""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
DATA = ("builds", "assets")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this source tree."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [
            sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation",
            "--disable-pip-version-check", "--wheel-dir", str(folder), str(ROOT),
        ],
        check=True,
    )  # fmt: skip
    (made,) = folder.glob("*.whl")
    return made


def tracked(folder: str) -> set[str]:
    """Files of a folder that belong to the project."""
    return {
        str(path.relative_to(ROOT))
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def test_every_module_and_every_data_file_is_inside_and_no_test(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    assert tracked("shopstep") <= names
    for folder in DATA:
        assert {f"shopstep/_data/{name}" for name in tracked(folder)} <= names
    assert not any(name.startswith("tests/") for name in names)


def test_it_runs_from_the_wheel_alone(wheel: Path, tmp_path: Path) -> None:
    place = tmp_path / "installed"
    zipfile.ZipFile(wheel).extractall(place)
    away = tmp_path / "away"
    away.mkdir()

    def ask(*words: str) -> str:
        environment = {
            name: value for name, value in os.environ.items() if name not in ("PYTHONPATH",)
        }
        return subprocess.run(
            [sys.executable, "-m", "shopstep", *words],
            cwd=away,
            env=environment | {"PYTHONPATH": str(place), "HOME": str(away)},
            capture_output=True,
            check=True,
            text=True,
        ).stdout

    assert str(place) in ask("where")
    assert "screened-floor: Screened hive floor" in ask("builds")
    assert "Overall: " in ask("plan", "screened-floor", "--units", "2")
    ask("print", "bird-box", "--to", str(away / "box.pdf"))  # fonts and templates are inside
    assert (away / "box.pdf").read_bytes().startswith(b"%PDF")
    ask("start", "bird-box")
    assert "0 of" in ask("board")
