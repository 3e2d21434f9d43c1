"""What every test gets: folders of its own, and no standard input."""

from __future__ import annotations

import io
from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Data and settings of this test alone; nobody types; the clock is in UTC."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("TZ", "UTC")
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
