"""settings.toml: the keeper's shops; a plain one where it says nothing.

The models of ``settings_entry`` are loaded only where there is a file.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopstep.desk import Profile
from shopstep.model.plan import BuildFileError, Calendar, Conditions, Prefer, Shop, Where
from shopstep.model.resources import ClampSet, Planer, parse_clamp_set
from shopstep.quantities import parse_humidity, parse_temperature
from shopstep.storage import shop_defaults as defaults
from shopstep.storage.helper_times import parse_helper_time
from shopstep.storage.near import say_near
from shopstep.storage.own_hours import read_hours, read_outdoor_air, read_own_days
from shopstep.storage.prices import priced_texts, read_prices
from shopstep.storage.text_file import read_text
from shopstep.units import parse_length
from shopstep.words import say

if TYPE_CHECKING:
    from shopstep.storage.settings_entry import ShopEntry


class FileProfiles:
    """Shops from the settings file, and a plain one where it says nothing."""

    def __init__(self, path: Path, machine_zone: str) -> None:
        self._path = path
        self._zone = machine_zone

    def names(self) -> tuple[str, ...]:
        """All shops of the file, the usual one first; the plain one where there is no file."""
        if not self._path.exists():
            return (defaults.USUAL_SHOP,)
        from shopstep.storage.settings_entry import read_settings

        settings = read_settings(self._path, read_text(self._path, f"settings file '{self._path}'"))
        return tuple(dict.fromkeys((settings.usual_shop, *settings.shops)))

    def profile(self, name: str | None) -> Profile:
        """The shop by name, or the usual one; BuildFileError with the nearest name."""
        if not self._path.exists():
            return self._without_file(name or defaults.USUAL_SHOP)
        from shopstep.storage.settings_entry import ShopEntry, read_settings

        settings = read_settings(self._path, read_text(self._path, f"settings file '{self._path}'"))
        wanted = name or settings.usual_shop
        entry = settings.shops.get(wanted)
        if entry is None and wanted != defaults.USUAL_SHOP:
            raise self._unknown(wanted, [*settings.shops])
        entry = entry or ShopEntry()
        return _profile(wanted, entry, entry.zone or self._zone, self._path)

    def _unknown(self, wanted: str, known: list[str]) -> BuildFileError:
        near = say_near(wanted, [*known, defaults.USUAL_SHOP])
        return BuildFileError(
            say("there is no shop '{wanted}'{near}", wanted=wanted, near=near),
            Where(str(self._path), 0, wanted),
        )

    def _without_file(self, wanted: str) -> Profile:
        if wanted != defaults.USUAL_SHOP:
            raise self._unknown(wanted, [])
        return Profile(
            shop=Shop(
                name=wanted,
                calendar=Calendar(
                    self._zone,
                    _minutes(defaults.OPENS),
                    _minutes(defaults.CLOSES),
                    tuple(range(len(defaults.DAYS))),
                    start_up_min=defaults.START_UP_MIN,
                    clean_up_min=defaults.CLEAN_UP_MIN,
                ),
                clamps=defaults.CLAMPS,
                drying_places=defaults.DRYING_PLACES,
                bench_places=defaults.BENCH_PLACES,
                kerf=parse_length(defaults.KERF),
            ),
            conditions=Conditions(
                parse_temperature(defaults.TEMPERATURE), parse_humidity(defaults.HUMIDITY)
            ),
            display="",
        )


def _profile(name: str, entry: ShopEntry, zone: str, path: Path) -> Profile:
    opens, closes = _minutes(entry.opens), _minutes(entry.closes)
    if closes <= opens or not entry.days:
        raise BuildFileError(
            say(
                "shop '{name}' is never open: it opens {opens} and closes {closes}",
                name=name,
                opens=entry.opens,
                closes=entry.closes,
            ),
            Where(str(path), 0, name),
        )
    _check_zone(zone, path)
    quiet = _minutes(entry.quiet_from) if entry.quiet_from else None
    days = tuple(sorted({defaults.DAYS.index(day) for day in entry.days}))
    return Profile(
        shop=Shop(
            name=name,
            calendar=Calendar(
                zone,
                opens,
                closes,
                days,
                start_up_min=entry.start_up,
                clean_up_min=entry.clean_up,
                quiet_from_min=quiet,
                other_days=read_own_days(entry.own_days, quiet),
                daylight=read_hours(entry.daylight) if entry.daylight else None,
            ),
            clamps=_clamp_count(entry),
            drying_places=entry.drying_places,
            kerf=parse_length(entry.kerf),
            finest=parse_length(entry.finest) if entry.finest else None,
            prefer=Prefer(entry.prefer),
            painting=entry.painting,
            outdoor_air=_outdoor_air(name, entry, path),
            clamp_sets=_clamp_sets(entry),
            bench_places=entry.bench_places,
            helper=tuple(parse_helper_time(text) for text in entry.helper),
            prices=read_prices(entry.prices),
            planer=_planer(entry),
        ),
        conditions=Conditions(
            parse_temperature(entry.temperature),
            parse_humidity(entry.humidity),
            parse_temperature(entry.night) if entry.night else None,
        ),
        display=entry.display,
        limits=tuple(entry.limits.items()),
        labels=tuple(entry.labels.items()),
        prices=priced_texts(entry.prices),
    )


def _outdoor_air(name: str, entry: ShopEntry, path: Path) -> Conditions | None:
    try:
        return read_outdoor_air(
            entry.outdoor_temperature, entry.outdoor_humidity, entry.outdoor_night
        )
    except ValueError as problem:
        raise BuildFileError(
            say("shop '{name}': {problem}", name=name, problem=problem), Where(str(path), 0, name)
        ) from None


def _clamp_sets(entry: ShopEntry) -> tuple[ClampSet, ...]:
    """By their reach, where the settings say it."""
    if isinstance(entry.clamps, int):
        return ()
    return tuple(parse_clamp_set(text) for text in entry.clamps)


def _planer(entry: ShopEntry) -> Planer | None:
    from shopstep.storage.planer_entry import read_planer

    return read_planer(entry.planer)


def _clamp_count(entry: ShopEntry) -> int:
    if isinstance(entry.clamps, int):
        return entry.clamps
    return sum(each.count for each in _clamp_sets(entry))


def _check_zone(zone: str, path: Path) -> None:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise BuildFileError(
            say("there is no time zone '{zone}'; write for example Europe/Dublin", zone=zone),
            Where(str(path), 0, "zone"),
        ) from None


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
