"""What settings.toml says about the bench screen: keys, view, colours, alarms, voice.

Read by hand, without pydantic, because it stands in the way of the first frame; ``tomllib``
is imported only where there is a file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from shopstep.model.plan import BuildFileError, Where
from shopstep.storage.near import say_near
from shopstep.storage.text_file import read_text
from shopstep.words import say

CHOICES = {
    "view": ("near", "far"),
    "theme": ("dark", "light", "contrast", "contrast-light"),
    "alarms_at_machines": ("visible", "sound"),
}
"""Keys of ``[screen]`` and what each may be; the first is meant where nothing is said."""
VOICE = ("speak", "listen")
"""Keys of ``[voice]``."""
LISTEN = ("off", "push", "armed", "open")
"""What ``listen`` may be; the first is meant where nothing is said."""


@dataclass(frozen=True, slots=True)
class ScreenSettings:
    """How the keeper wants the screen."""

    keys: Mapping[str, object] = field(default_factory=dict)
    """Own keys by the id of what they ask for; not looked at here."""
    view: str = "near"
    theme: str = "dark"
    alarms_at_machines: str = "visible"
    """``visible``: silent while a machine is at work; ``sound``: heard there too."""
    speaks: bool = False
    """``speak`` of ``[voice]``: the card is said as it opens."""
    listens: str = "off"
    """``listen`` of ``[voice]``: ``push``: by a key; ``armed``: also after each card; ``open``:
    always."""


def read_screen_settings(path: Path) -> ScreenSettings:
    """The screen's settings; the usual ones without a file. BuildFileError with one sentence."""
    if not path.exists():
        return ScreenSettings()
    import tomllib

    text = read_text(path, f"settings file '{path}'")
    try:
        said = tomllib.loads(text)
    except RecursionError:
        raise BuildFileError(say("settings file is nested too deeply"), Where(str(path))) from None
    except tomllib.TOMLDecodeError as problem:
        from shopstep.storage.toml_trouble import toml_trouble

        raise toml_trouble(str(path), text, str(problem)) from None
    tables = {name: said.get(name, {}) for name in ("keys", "screen", "voice")}
    for name, table in tables.items():
        if not isinstance(table, dict):
            raise BuildFileError(
                say("'{name}' is a table: write [{name}]", name=name), _where(path, text, name)
            )
    chosen = {key: _choice(path, text, key, value) for key, value in tables["screen"].items()}
    speaks, listens = _voice(path, text, tables["voice"])
    return ScreenSettings(keys=tables["keys"], speaks=speaks, listens=listens, **chosen)


def _voice(path: Path, text: str, voice: Mapping[str, object]) -> tuple[bool, str]:
    for key in voice:
        if key not in VOICE:
            near = say_near(key, list(VOICE))
            raise BuildFileError(
                say("'{key}' is not known in [voice]{near}", key=key, near=near),
                _where(path, text, key),
            )
    said = voice.get("speak", False)
    if not isinstance(said, bool):
        raise BuildFileError(
            say("'speak' is true or false, not '{said}'", said=said), _where(path, text, "speak")
        )
    way = voice.get("listen", LISTEN[0])
    if way not in LISTEN:
        raise BuildFileError(
            say("'listen' is one of {listen}, not '{way}'", listen=", ".join(LISTEN), way=way),
            _where(path, text, "listen"),
        )
    return said, str(way)


def _choice(path: Path, text: str, key: str, value: object) -> str:
    if key not in CHOICES:
        near = say_near(key, list(CHOICES))
        raise BuildFileError(
            say("'{key}' is not known in [screen]{near}", key=key, near=near),
            _where(path, text, key),
        )
    if value not in CHOICES[key]:
        raise BuildFileError(
            say(
                "'{key}' is one of {choices}, not '{value}'",
                key=key,
                choices=", ".join(CHOICES[key]),
                value=value,
            ),
            _where(path, text, key),
        )
    return str(value)


def _where(path: Path, text: str, key: str) -> Where:
    rows = text.splitlines()
    line = next((n for n, row in enumerate(rows, 1) if row.strip(" [").startswith(key)), 0)
    return Where(str(path), line, key)
