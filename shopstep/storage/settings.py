"""settings.toml: the keeper's shops. Unknown keys name the nearest; pydantic reads the values."""

from __future__ import annotations

import difflib
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator

from shopstep.desk import Profile
from shopstep.model.plan import BuildFileError, Calendar, Conditions, Shop, Where
from shopstep.quantities import parse_humidity, parse_temperature
from shopstep.storage.text_file import read_text
from shopstep.units import Length, UnitError, parse_length

Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
DAYS: tuple[Day, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MARKS = (
    *(Length.inches(Fraction(1, n)) for n in (8, 16, 32, 64)),
    *(Length.mm(text) for text in ("0.1", "0.5", "1")),
)
ClockText = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]


class ShopEntry(BaseModel):
    """One shop: when it is open, what it has, and the air in it."""

    model_config = ConfigDict(extra="forbid")

    zone: str = ""
    """IANA time zone; the machine's own where empty."""
    opens: ClockText = "18:00"
    closes: ClockText = "21:00"
    days: list[Day] = list(DAYS)
    clamps: Annotated[int, Field(ge=0, le=500)] = 4
    drying_places: Annotated[int, Field(ge=0, le=500)] = 12
    kerf: str = "1/8 in"
    temperature: str = "20 C"
    humidity: str = "50 %"
    display: Literal["", "in", "mm"] = ""
    limits: dict[str, str] = {}
    """Own ranges for fits, ``LEAST..MOST`` by the fit's name."""
    finest: str = ""
    """Finest mark of the rule: 1/16 in, 1/32 in, 1/64 in, 0.5 mm, 1 mm."""

    @field_validator("finest")
    @classmethod
    def _is_mark(cls, text: str) -> str:
        if text and parse_length(text) not in _MARKS:
            raise UnitError(f"'{text}' is no mark of a rule; write for example 1/16 in or 0.5 mm")
        return text

    @field_validator("kerf")
    @classmethod
    def _kerf_is_thin(cls, text: str) -> str:
        if not Length(0) < parse_length(text) <= Length.inches(1):
            raise UnitError("a kerf lies between 0 and 1 in")
        return text

    @field_validator("temperature")
    @classmethod
    def _is_temperature(cls, text: str) -> str:
        parse_temperature(text)
        return text

    @field_validator("humidity")
    @classmethod
    def _is_humidity(cls, text: str) -> str:
        parse_humidity(text)
        return text


class SettingsEntry(BaseModel):
    """The whole settings file."""

    model_config = ConfigDict(extra="forbid")

    usual_shop: str = "bench"
    shops: dict[str, ShopEntry] = {}


class FileProfiles:
    """Shops from the settings file, and a plain one where it says nothing."""

    def __init__(self, path: Path, machine_zone: str) -> None:
        self._path = path
        self._zone = machine_zone

    def profile(self, name: str | None) -> Profile:
        """The shop by name, or the usual one; BuildFileError with the nearest name."""
        settings = self._read()
        wanted = name or settings.usual_shop
        entry = settings.shops.get(wanted)
        if entry is None:
            if wanted != "bench":
                raise BuildFileError(
                    f"there is no shop '{wanted}'{_near(wanted, [*settings.shops, 'bench'])}",
                    Where(str(self._path), 0, wanted),
                )
            entry = ShopEntry()
        return _profile(wanted, entry, entry.zone or self._zone, self._path)

    def _read(self) -> SettingsEntry:
        if not self._path.is_file():
            return SettingsEntry()
        text = read_text(self._path, f"settings file '{self._path}'")
        try:
            return SettingsEntry.model_validate(tomllib.loads(text))
        except tomllib.TOMLDecodeError as problem:
            raise BuildFileError(
                f"settings file is no TOML: {problem}", Where(str(self._path), 0)
            ) from None
        except ValidationError as problem:
            raise self._complaint(text, problem.errors(include_url=False)[0]) from None

    def _complaint(self, text: str, error: Any) -> BuildFileError:
        key = str(error["loc"][-1]) if error["loc"] else ""
        line = next((i for i, row in enumerate(text.splitlines(), 1) if key and key in row), 0)
        said = f"'{key}': {error['msg']}"
        if error["type"] == "extra_forbidden":
            model = ShopEntry if len(error["loc"]) > 2 else SettingsEntry
            said = f"'{key}' is not known in the settings{_near(key, list(model.model_fields))}"
        return BuildFileError(said, Where(str(self._path), line, key))


def _near(word: str, known: list[str]) -> str:
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f"; did you mean '{near[0]}'?" if near else f"; known: {', '.join(sorted(known))}"


def _profile(name: str, entry: ShopEntry, zone: str, path: Path) -> Profile:
    opens, closes = _minutes(entry.opens), _minutes(entry.closes)
    if closes <= opens or not entry.days:
        raise BuildFileError(
            f"shop '{name}' is never open: it opens {entry.opens} and closes {entry.closes}",
            Where(str(path), 0, name),
        )
    _check_zone(zone, path)
    days = tuple(sorted({DAYS.index(day) for day in entry.days}))
    return Profile(
        shop=Shop(
            name=name,
            calendar=Calendar(zone, opens, closes, days),
            clamps=entry.clamps,
            drying_places=entry.drying_places,
            kerf=parse_length(entry.kerf),
            finest=parse_length(entry.finest) if entry.finest else None,
        ),
        conditions=Conditions(parse_temperature(entry.temperature), parse_humidity(entry.humidity)),
        display=entry.display,
        limits=tuple(entry.limits.items()),
    )


def _check_zone(zone: str, path: Path) -> None:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise BuildFileError(
            f"there is no time zone '{zone}'; write for example Europe/Dublin",
            Where(str(path), 0, "zone"),
        ) from None


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
