"""The clock: where the zone's name and the boot id come from."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopstep.storage.clock import FixedClock, SystemClock, find_zone_name, read_boot_id


def _etc(folder: Path, link: str = "", text: str | None = None) -> Path:
    if link:
        (folder / "localtime").symlink_to(link)
    if text is not None:
        (folder / "timezone").write_bytes(text.encode("latin-1"))
    return folder


# The three places and their forms: tzset(3), localtime(5) and the /etc/timezone of some systems.
@pytest.mark.parametrize(
    ("tz", "link", "text", "zone"),
    [
        ("Europe/Dublin", "", None, "Europe/Dublin"),
        (":Europe/Dublin", "", None, "Europe/Dublin"),
        ("No/Such", "/usr/share/zoneinfo/America/Chicago", None, "America/Chicago"),
        ("/etc/localtime", "/usr/share/zoneinfo/America/Chicago", None, "America/Chicago"),
        ("", "../usr/share/zoneinfo/America/Chicago", None, "America/Chicago"),
        ("", "/usr/share/zoneinfo/posix/Asia/Tokyo", None, "Asia/Tokyo"),
        ("", "/var/db/timezone/zoneinfo/Asia/Tokyo", "Europe/Paris\n", "Asia/Tokyo"),
        ("", "/somewhere/else", "Europe/Paris\n", "Europe/Paris"),
        ("", "", "Europe/Paris", "Europe/Paris"),
        ("", "", "\xff\xfe", "UTC"),
        ("", "", "", "UTC"),
        ("", "", None, "UTC"),
        ("../../etc/passwd", "", None, "UTC"),
    ],
)
def test_the_zone_is_found_where_systems_keep_it(
    tmp_path: Path, tz: str, link: str, text: str | None, zone: str
) -> None:
    assert find_zone_name({"TZ": tz} if tz else {}, _etc(tmp_path, link, text)) == zone


def test_the_boot_id_is_read_or_stands_for_this_run_of_the_program(tmp_path: Path) -> None:
    file = tmp_path / "boot_id"
    file.write_text("0f6c\n")
    assert read_boot_id(file) == "0f6c"
    missing = read_boot_id(tmp_path / "none")
    assert missing == read_boot_id(tmp_path / "none")
    assert len(missing) == 32


def test_the_machines_clock_never_goes_back_in_its_monotonic_time() -> None:
    clock = SystemClock("Europe/Dublin")
    first, second = clock.now(), clock.now()
    assert first.zone == "Europe/Dublin"
    assert first.boot_id == second.boot_id != ""
    assert first.monotonic_ns <= second.monotonic_ns
    # 2025-01-01 UTC: this program did not exist before.
    assert first.at_s > 1_735_689_600


def test_a_fixed_clock_stands_where_it_is_put() -> None:
    clock = FixedClock(100, "Europe/Dublin")
    assert (clock.now().at_s, clock.now().zone) == (100, "Europe/Dublin")
    clock.at_s += 5
    assert clock.now().at_s == 105
