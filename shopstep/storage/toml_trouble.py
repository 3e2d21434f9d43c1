"""Why a settings file cannot be read, in plain words: the line, and what is usually wrong there.

Imports ``model``. The parser's own sentence names a grammar that a keeper need not know.
"""

from __future__ import annotations

import re

from shopstep.model.plan import BuildFileError, Where
from shopstep.words import say

_AT = re.compile(r"at line (\d+)")
_VALUE = re.compile(r"\s*[\w.\"'@-]+\s*=\s*(?P<value>.*)")
_QUOTES = "\"'"


def toml_trouble(file: str, text: str, said: str) -> BuildFileError:
    """The error for a text that is no TOML; ``said`` is the parser's sentence, with the line."""
    lines = text.splitlines()
    found = _AT.search(said)
    number = min(int(found[1]) if found else len(lines), len(lines))
    while number > 1 and not lines[number - 1].strip():
        number -= 1
    written = lines[number - 1].strip() if lines else ""
    told = say(
        "the settings file cannot be read here: {usual_cause}",
        usual_cause=usual_cause(written, said),
    )
    return BuildFileError(told, Where(file, number))


def usual_cause(written: str, said: str) -> str:
    """What is usually wrong with such a line, and what would be right."""
    bare = written.split("#")[0].strip()
    if "overwrite" in said or "twice" in said:
        return say("'{bare}' stands here a second time; keep one", bare=bare)
    if bare.startswith("[") and "=" not in bare and bare.count("[") != bare.count("]"):
        return say("the bracket is not closed; write {bare}]", bare=bare.rstrip("]"))
    if any(bare.count(quote) % 2 for quote in _QUOTES):
        return say("a quote is missing in '{bare}'; text stands between two quotes", bare=bare)
    if bare.count("[") != bare.count("]"):
        return say("a bracket is not closed in '{bare}'", bare=bare)
    value = _VALUE.fullmatch(bare)
    if value is None:
        return say("'{bare}' is no setting; write NAME = VALUE, or a table as [NAME]", bare=bare)
    if not value["value"]:
        return say("'{bare}' has no value", bare=bare)
    return say(
        "a quote is missing, most likely: text and times stand in quotes, as in {quoted}",
        quoted=_quoted(bare),
    )


def _quoted(bare: str) -> str:
    name, _, value = bare.partition("=")
    return f'{name.strip()} = "{value.strip()}"'
