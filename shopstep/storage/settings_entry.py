"""What a settings file may say, as pydantic models; complaints name line and nearest key."""

from __future__ import annotations

import re
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, field_validator

from shopstep.model.plan import BuildFileError, Where
from shopstep.model.price import parse_price
from shopstep.model.resources import MOST_OF_A_KIND as MOST_CLAMPS
from shopstep.model.resources import parse_clamp_set
from shopstep.quantities import parse_humidity, parse_temperature
from shopstep.storage import shop_defaults as defaults
from shopstep.storage.helper_times import parse_helper_time
from shopstep.storage.near import say_near
from shopstep.storage.own_hours import read_hours, read_own_days
from shopstep.storage.planer_entry import PlanerEntry, as_planer
from shopstep.storage.prices import read_prices
from shopstep.storage.toml_trouble import toml_trouble
from shopstep.units import Length, UnitError, parse_length
from shopstep.words import say

Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
_MARKS = (
    *(Length.inches(Fraction(1, n)) for n in (8, 16, 32, 64)),
    *(Length.mm(text) for text in ("0.1", "0.5", "1")),
)
_SIGN = re.compile(r"[^\W\d_]{1,3}|[^\w\s]")


def _as_price(text: str) -> str:
    """A price; or the sign of a currency, which one key among them has."""
    if _SIGN.fullmatch(text.strip()) is None:
        parse_price(text)
    return text


PriceText = Annotated[str, AfterValidator(_as_price)]
ClockText = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]


class ShopEntry(BaseModel):
    """One shop: when it is open, what it has, and the air in it."""

    model_config = ConfigDict(extra="forbid")

    zone: str = ""
    """IANA time zone; the machine's own where empty."""
    opens: ClockText = defaults.OPENS
    closes: ClockText = defaults.CLOSES
    start_up: Annotated[int, Field(ge=0, le=120)] = defaults.START_UP_MIN
    """Minutes from opening until the first step."""
    clean_up: Annotated[int, Field(ge=0, le=120)] = defaults.CLEAN_UP_MIN
    """Minutes from the last step until closing."""
    quiet_from: ClockText | None = None
    """No machine runs from then on."""
    days: list[Day] = list(defaults.DAYS)
    own_days: dict[str, str] = {}
    """Days with hours of their own, ``"2026-01-10" = "09:00-13:00"``, or ``closed``."""
    daylight: str = ""
    """When it is light enough to work outdoors, ``08:00-16:00``."""
    painting: Literal["", "indoors", "outdoors"] = ""
    """Where paint is put on, unless the build says it; outdoors only in daylight."""
    outdoor_temperature: str = ""
    """Air where paint is put on and dries outdoors, with ``outdoor_humidity``."""
    outdoor_humidity: str = ""
    outdoor_night: str = ""
    prefer: Literal["evenings", "finish", "setups", "first-unit"] = "evenings"
    """What counts first in the order of the steps."""
    clamps: int | list[str] = defaults.CLAMPS
    """How many, or by their reach: ``["4 x 24 in", "2 x 48 in"]``."""
    drying_places: Annotated[int, Field(ge=0, le=500)] = defaults.DRYING_PLACES
    bench_places: Annotated[int, Field(ge=0, le=500)] | None = defaults.BENCH_PLACES
    """Places to work or lay things on; never too few where it is left out."""
    helper: list[str] = []
    """When a second pair of hands is there: ``["sat 14:00-17:00"]``; empty: when asked."""
    kerf: str = defaults.KERF
    temperature: str = defaults.TEMPERATURE
    humidity: str = defaults.HUMIDITY
    night: str = ""
    """Coldest where things dry through the night; as by day where empty."""
    labels: dict[str, str] = {}
    """What labels say, ``wood_glue.open = "8 min"``."""
    display: Literal["", "in", "mm"] = ""
    limits: dict[str, str] = {}
    """Own ranges for fits, ``LEAST..MOST`` by the fit's name."""
    prices: dict[str, PriceText] = {}
    """What one board, sheet, foot, box… costs, ``"1×6, 8 ft" = "4.80"``, by what it is sold as, by
    its id, or by words of its line on the buy list; ``currency = "€"`` beside them."""
    planer: PlanerEntry | None = None
    """A thickness planer: ``true``, or what its manual says; none where it is left out."""
    finest: str = ""
    """Finest mark of the rule: 1/16 in, 1/32 in, 1/64 in, 0.5 mm, 1 mm."""

    @field_validator("clamps", mode="plain")
    @classmethod
    def _are_clamps(cls, value: object) -> object:
        if isinstance(value, list) and value:
            for text in value:
                parse_clamp_set(str(text))
            return [str(text) for text in value]
        if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= MOST_CLAMPS:
            raise ValueError(
                say(
                    "give a number from 0 to {most_clamps}, or the clamps by their reach, "
                    '["4 x 24 in", "2 x 48 in"]',
                    most_clamps=MOST_CLAMPS,
                )
            )
        return value

    @field_validator("helper")
    @classmethod
    def _are_times(cls, texts: list[str]) -> list[str]:
        for text in texts:
            parse_helper_time(text)
        return texts

    @field_validator("prices")
    @classmethod
    def _are_prices(cls, told: dict[str, str]) -> dict[str, str]:
        read_prices(told)
        return told

    @field_validator("planer", mode="before")
    @classmethod
    def _is_planer(cls, told: object) -> object:
        return as_planer(told)

    @field_validator("finest")
    @classmethod
    def _is_mark(cls, text: str) -> str:
        if text and parse_length(text) not in _MARKS:
            raise UnitError(
                say("'{text}' is no mark of a rule; write for example 1/16 in or 0.5 mm", text=text)
            )
        return text

    @field_validator("kerf")
    @classmethod
    def _kerf_is_thin(cls, text: str) -> str:
        if not Length(0) < parse_length(text) <= Length.inches(1):
            raise UnitError(say("a kerf lies between 0 and 1 in"))
        return text

    @field_validator("daylight")
    @classmethod
    def _is_span(cls, text: str) -> str:
        if text:
            read_hours(text)
        return text

    @field_validator("own_days")
    @classmethod
    def _are_days(cls, told: dict[str, str]) -> dict[str, str]:
        read_own_days(told, None)
        return told

    @field_validator("temperature", "night", "outdoor_temperature", "outdoor_night")
    @classmethod
    def _is_temperature(cls, text: str) -> str:
        if text:
            parse_temperature(text)
        return text

    @field_validator("humidity")
    @classmethod
    def _is_humidity(cls, text: str) -> str:
        parse_humidity(text)
        return text

    @field_validator("outdoor_humidity")
    @classmethod
    def _may_be_humidity(cls, text: str) -> str:
        return cls._is_humidity(text) if text else text


class SettingsEntry(BaseModel):
    """The whole settings file."""

    model_config = ConfigDict(extra="forbid")

    usual_shop: str = defaults.USUAL_SHOP
    language: str = ""
    """Of the words, ``de``; that of the environment where empty. Read by ``wiring.languages``."""
    locale: str = ""
    """Of numbers and dates, ``de_DE``; likewise."""
    keys: dict[str, Any] = {}
    """Own keys of the bench screen; read by ``screen_settings``."""
    screen: dict[str, Any] = {}
    """View, colours and alarms of the bench screen; read by ``screen_settings``."""
    voice: dict[str, Any] = {}
    """Whether cards are spoken and the person is heard; read by ``screen_settings``."""
    shops: dict[str, ShopEntry] = {}


def read_settings(path: Path, text: str) -> SettingsEntry:
    """The settings in a text; BuildFileError with the line."""
    try:
        return SettingsEntry.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as problem:
        raise toml_trouble(str(path), text, str(problem)) from None
    except RecursionError:
        raise BuildFileError(
            say("settings file is nested too deeply"), Where(str(path), 0)
        ) from None
    except ValidationError as problem:
        raise _complaint(path, text, problem.errors(include_url=False)[0]) from None
    except ValueError as problem:
        raise BuildFileError(
            say("settings file: {problem}", problem=problem), Where(str(path), 0)
        ) from None


def _complaint(path: Path, text: str, error: Any) -> BuildFileError:
    place = [str(step) for step in error["loc"]]
    key = place[-1] if place else ""
    said = f"'{key}': {error['msg'].removeprefix('Value error, ')}"
    if error["type"] == "string_pattern_mismatch":
        said = say(
            "'{key}' is a time of day like 18:30, not '{input}'", key=key, input=error["input"]
        )
    if error["type"] == "extra_forbidden":
        model: type[BaseModel] = ShopEntry if len(place) > 2 else SettingsEntry
        if place[2:3] == ["planer"] and len(place) > 3:
            model = PlanerEntry
        said = say(
            "'{key}' is not known in the settings{near}",
            key=key,
            near=say_near(key, list(model.model_fields)),
        )
    return BuildFileError(said, Where(str(path), _line_of(text, place), key))


def _line_of(text: str, place: list[str]) -> int:
    """The line of a key: after the heading of its own table, or the heading itself."""
    inside: tuple[str, ...] = ()
    for number, row in enumerate(text.splitlines(), 1):
        heading = re.fullmatch(r"\s*\[(.+)\]\s*(#.*)?", row)
        if heading:
            inside = tuple(part.strip().strip("\"'") for part in heading.group(1).split("."))
            if inside == tuple(place):
                return number
        key = row.split("=", 1)[0].strip().strip("\"'")
        if (*inside, key) in (tuple(place), tuple(place[: len(inside) + 1])) and "=" in row:
            return number
    return 0
