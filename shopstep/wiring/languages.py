"""Which words and forms are spoken: by the settings file, else by the usual environment.

English needs no catalogue, so nothing is loaded for it; ``gettext`` comes with a catalogue, Babel
with a locale that is not English, ``tomllib`` with a settings file.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from shopstep.storage.folders import data_folder, settings_file, shipped_folder
from shopstep.words import PLAIN, Manner, speak

DOMAIN = "shopstep"
ENGLISH = "en"
_PLAIN = ("", "C", "POSIX")


def speak_as_chosen(environment: Mapping[str, str] = os.environ) -> str:
    """Speaks as the person chose; a sentence where that cannot be, else empty."""
    speak(PLAIN)
    chosen, trouble = _chosen(settings_file())
    if trouble:
        return trouble
    file, trouble = _find_words(chosen["language"], environment)
    words = Manner()
    if file is not None:
        words, trouble = _open_catalogue(file)
    numbers = chosen["locale"] or _first(environment, ("LC_ALL", "LC_NUMERIC", "LANG"))
    dates = chosen["locale"] or _first(environment, ("LC_ALL", "LC_TIME", "LANG"))
    point, doubt = _point(numbers or chosen["language"])
    place, other_doubt = _dates(dates or chosen["language"])
    speak(replace(words, point=point, dates=place))
    told = doubt or other_doubt if chosen["locale"] else ""
    return trouble or told


def word_folders() -> tuple[Path, Path]:
    """Where catalogues lie: the person's own come before those that ship."""
    return data_folder() / "words", shipped_folder("assets") / "words"


def _chosen(path: Path) -> tuple[dict[str, str], str]:
    """``language`` and ``locale`` of the settings file; a file that cannot be read is told by
    those who need more of it."""
    said = {"language": "", "locale": ""}
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, ValueError):
        return said, ""
    if not any(key in text for key in said):
        return said, ""
    import tomllib

    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return said, ""
    for key in said:
        value = table.get(key, "")
        if not isinstance(value, str):
            return said, f"{path}: '{key}' is a text, for example {key} = \"de\""
        said[key] = value.strip()
    return said, ""


def _first(environment: Mapping[str, str], names: tuple[str, ...]) -> str:
    """The first that is set, without encoding and variant; empty for the plain locales."""
    said = next((environment[name] for name in names if environment.get(name)), "")
    bare = said.partition(".")[0].partition("@")[0]
    return "" if bare in _PLAIN else bare


def _wished(environment: Mapping[str, str]) -> Iterator[str]:
    """Languages by the environment, the dearest first, as gettext reads it."""
    locale = _first(environment, ("LC_ALL", "LC_MESSAGES", "LANG"))
    if not locale:
        return
    yield from filter(None, environment.get("LANGUAGE", "").split(":"))
    yield locale


def _find_words(chosen: str, environment: Mapping[str, str]) -> tuple[Path | None, str]:
    """The catalogue's file; None for English, and what stands in the way."""
    for wish in (chosen,) if chosen else _wished(environment):
        bare = wish.partition(".")[0].partition("@")[0]
        if bare in _PLAIN or _base(bare) == ENGLISH:
            return None, ""
        for name in dict.fromkeys((bare, _base(bare))):
            file = _catalogue_file(name)
            if file is not None:
                return file, ""
    if not chosen:
        return None, ""
    folders = " or ".join(str(folder) for folder in word_folders())
    return None, f"there are no words for '{chosen}' in {folders}; English it is"


def _base(locale: str) -> str:
    return locale.replace("-", "_").partition("_")[0].lower()


def _catalogue_file(name: str) -> Path | None:
    if not name.replace("-", "_").replace("_", "").isalnum():
        return None
    files = (folder / name / "LC_MESSAGES" / f"{DOMAIN}.mo" for folder in word_folders())
    return next((file for file in files if file.is_file()), None)


def _open_catalogue(file: Path) -> tuple[Manner, str]:
    import gettext

    try:
        kept = file.stat()
        with file.open("rb") as opened:
            catalogue = gettext.GNUTranslations(opened)
    except Exception as problem:  # a file from elsewhere; gettext raises what it meets
        return Manner(), f"the words in {file} cannot be read ({problem}); English it is"
    language = file.parent.parent.name
    return Manner(language, catalogue, edition=f"{file} {kept.st_size} {kept.st_mtime_ns}"), ""


def _point(locale: str) -> tuple[str, str]:
    if not locale or _base(locale) == ENGLISH:
        return PLAIN.point, ""
    from shopstep.local_forms import decimal_mark

    try:
        return decimal_mark(locale), ""
    except ValueError as problem:
        return PLAIN.point, str(problem)


def _dates(locale: str) -> tuple[str, str]:
    if not locale or _base(locale) == ENGLISH:
        return "", ""
    from shopstep.local_forms import known_locale

    try:
        return known_locale(locale), ""
    except ValueError as problem:
        return "", str(problem)
