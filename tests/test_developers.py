"""What ``DEVELOPERS.md`` names is there: every file, module and command to be run."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
ROOMS = ("", "shopstep", "tests", "shopstep/tablet", "shopstep/tui")
"""What a path in it may begin under."""
FILES = sorted(set(re.findall(r"`((?:[a-z_]+/)+[a-z_]+(?:\.(?:py|js|css))?)`", TEXT)))
BARE = sorted(set(re.findall(r"`([a-z_]+\.py)`", TEXT)))
MODULES = sorted(set(re.findall(r"python -m ((?:tests|shopstep)[a-z_.]*[a-z_])", TEXT)))
STEP_IDS = frozenset({"all/rip/side_rail", "u2/glue/close_right", "plane/flush"})


@pytest.mark.parametrize("name", [name for name in FILES if name not in STEP_IDS])
def test_a_named_file_is_there(name: str) -> None:
    places = [ROOT / room / name for room in ROOMS]
    assert any(place.exists() or place.with_suffix(".py").exists() for place in places), name


@pytest.mark.parametrize("name", BARE)
def test_a_file_that_is_named_without_its_room_is_there(name: str) -> None:
    assert list((ROOT / "shopstep").rglob(name)) or list((ROOT / "tests").rglob(name)), name


@pytest.mark.parametrize("name", MODULES)
def test_a_module_that_is_to_be_run_is_there(name: str) -> None:
    place = ROOT / name.replace(".", "/")
    assert place.with_suffix(".py").exists() or place.is_dir(), name


def test_the_rooms_of_the_house_are_those_that_there_are() -> None:
    house = TEXT.split("## The house")[1].split("```")[1]
    named = set(re.findall(r"([a-z]+)/\s", house)) - {"shopstep", "builds", "assets", "tests"}
    there = {path.name for path in (ROOT / "shopstep").iterdir() if (path / "__init__.py").exists()}
    assert named == there
