"""What every test gets: folders of its own, and no standard input."""

from __future__ import annotations

import io
import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from shopstep.words import PLAIN, speak

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
"""Every test process has one core; threads that wait for each other make a busy machine crawl."""
settings.register_profile(
    "any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("any machine")
HAS_BROWSER = any(shutil.which(name) for name in ("chromium", "chromium-browser"))
NEEDS_BROWSER = HAS_BROWSER or os.environ.get("SHOPSTEP_BROWSER") == "needed"
IN_BROWSER = [
    f"test_tablet_{page}.py" for page in ("browser", "looks", "ear_page", "ear_tls")
]  # fmt: skip
collect_ignore = [] if NEEDS_BROWSER else IN_BROWSER
"""`.ci/run` installs Chromium and needs it; who has none is told, and tests all the rest."""


LONGEST = ("test_whole_way_screen.py",)
"""They come first: at the end one worker would be busy with them alone."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest tests first, all others in their order."""
    items.sort(key=lambda item: item.path.name not in LONGEST)


def pytest_report_header() -> str:
    """Says whether the tablet's page is tested in a browser."""
    return (
        "tablet page: tested in Chromium"
        if NEEDS_BROWSER
        else "tablet page: NOT tested, no Chromium"
    )


@pytest.fixture(autouse=True)
def _own_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Data and settings of this test alone; nobody types; the clock is in UTC."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("TZ", "UTC")
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LC_NUMERIC", "LC_TIME", "LANG"):
        monkeypatch.delenv(name, raising=False)
    speak(PLAIN)
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
