"""A shop of which the settings say nothing (common practice, no source). Imports nothing."""

from __future__ import annotations

from typing import Final

USUAL_SHOP: Final = "bench"
OPENS: Final = "18:00"
CLOSES: Final = "21:00"
START_UP_MIN: Final = 5
CLEAN_UP_MIN: Final = 10
DAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
CLAMPS: Final = 4
DRYING_PLACES: Final = 12
BENCH_PLACES: Final = None
KERF: Final = "1/8 in"
TEMPERATURE: Final = "20 C"
HUMIDITY: Final = "50 %"
LEAST_PLANED: Final = "12 in"
"""Nothing shorter goes through a planer: common practice, no source; the manual governs. So are
the three that follow, for a portable machine of the usual size."""
WIDEST_PLANED: Final = "12 in"
DEEPEST_PASS: Final = "1/16 in"
SNIPE: Final = "3 in"
