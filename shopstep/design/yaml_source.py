"""YAML 1.2 text to plain mappings, lists and strings, with the line of everything.

Every scalar stays a string: what it means is decided by the field it stands in, so ``no`` is a
word and ``1/2`` is not a date. Anchors are refused, so no text can grow when it is read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from shopstep.design.yaml_faults import say_fault
from shopstep.model.plan import BuildFileError, Where
from shopstep.words import figure, say

LARGEST_TEXT = 400_000
"""Characters; a build file is a few hundred lines."""
DEEPEST = 12

Path = tuple[str | int, ...]
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_NO_CHARACTER = re.compile("[\x00\ud800-\udfff]")
_YAML = "tag:yaml.org,2002:"
_PLAIN_TAGS = {
    _YAML + kind
    for kind in ("str", "int", "float", "bool", "null", "timestamp", "merge", "value", "map", "seq")
}


@dataclass(slots=True)
class Source:
    """A build file as plain data, with the file and line (from 1) of every path in it."""

    name: str
    data: dict[str, Any]
    places: dict[Path, Where] = field(default_factory=dict)

    def where(self, path: Path, name: str = "") -> Where:
        """The place of the nearest thing on the path that stands in a file."""
        for end in range(len(path), -1, -1):
            place = self.places.get(path[:end])
            if place is not None:
                return Where(place.file, place.line, name)
        return Where(self.name, 1, name)

    def line(self, path: Path) -> int:
        """The line of the nearest thing on the path."""
        return self.where(path).line


@lru_cache(maxsize=8)
def read_source(name: str, text: str) -> Source:
    """The text as a Source; BuildFileError with line and what would be right.

    Remembered, because the shelf reads a build for its parent's name before the design reads it
    whole, and reading takes longest of all. Nobody may change what comes back.
    """
    _check_text(name, text)
    node = _compose(name, text)
    source = Source(name, {})
    if node is None:
        raise BuildFileError(say("the build file is empty; begin with 'schema: 1'"), Where(name, 1))
    data = _convert(source, node, (), 0)
    if not isinstance(data, dict):
        raise BuildFileError(say("a build file is a list of 'name: value' lines"), Where(name, 1))
    source.data = data
    return source


def _check_text(name: str, text: str) -> None:
    if len(text) > LARGEST_TEXT:
        raise BuildFileError(
            say(
                "the build file has {text} characters; {largest} is the most",
                text=figure(len(text), ","),
                largest=figure(LARGEST_TEXT, ","),
            ),
            Where(name, 1),
        )
    open_brackets = 0
    for number, line in enumerate(text.split("\n"), 1):
        control = _CONTROL.search(line)
        if control is not None:
            raise BuildFileError(
                say(
                    "a control character (U+{ord}) stands here; take it out",
                    ord=figure(ord(control.group()), "04X"),
                ),
                Where(name, number),
            )
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent:
            raise BuildFileError(say("indented with a tab; use spaces"), Where(name, number))
        depth = line.count("[") + line.count("{")
        if depth > 60:
            raise BuildFileError(say("too many brackets in one line"), Where(name, number))
        open_brackets = max(0, open_brackets + depth - line.count("]") - line.count("}"))
        if open_brackets > 60:
            raise BuildFileError(
                say(
                    "{open_brackets} brackets are open here; close them",
                    open_brackets=open_brackets,
                ),
                Where(name, number),
            )


def _compose(name: str, text: str) -> Any:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    yaml = YAML(typ="safe", pure=True)
    try:
        return yaml.compose(text)
    except MarkedYAMLError as problem:
        line, sentence = say_fault(text, problem)
        raise BuildFileError(sentence, Where(name, line)) from None
    except RecursionError:
        raise BuildFileError(
            say(
                "nested too deeply; a build file goes {deepest} levels down at most",
                deepest=DEEPEST,
            ),
            Where(name, 1),
        ) from None
    except (YAMLError, ValueError, OverflowError) as problem:
        said = " ".join(str(problem).split())[:120]
        raise BuildFileError(
            say("not readable as YAML: {said}", said=said), Where(name, 1)
        ) from None


def _convert(source: Source, node: Any, path: Path, depth: int) -> Any:
    line = node.start_mark.line + 1
    source.places.setdefault(path, Where(source.name, line))
    if depth > DEEPEST:
        raise BuildFileError(say("nested too deeply"), Where(source.name, line))
    if node.anchor is not None:
        raise BuildFileError(
            say(
                "'&{anchor}' names an anchor; build files do without, write the value out",
                anchor=node.anchor,
            ),
            Where(source.name, line),
        )
    if str(node.tag) not in _PLAIN_TAGS:
        raise BuildFileError(
            say(
                "'{tag}' is a tag; build files do without, take it out",
                tag=str(node.tag).replace(_YAML, "!!"),
            ),
            Where(source.name, line),
        )
    if node.id == "scalar":
        _refuse_no_character(source, node.value, line)
        return _scalar(node)
    if node.id == "sequence":
        return [_convert(source, item, (*path, i), depth + 1) for i, item in enumerate(node.value)]
    return _mapping(source, node, path, depth)


def _refuse_no_character(source: Source, text: str, line: int) -> None:
    """An escape can write what is no character; nothing could print it."""
    bad = _NO_CHARACTER.search(text)
    if bad is not None:
        raise BuildFileError(
            say(
                "'\\u{ord}' stands for no character; take it out",
                ord=figure(ord(bad.group()), "04x"),
            ),
            Where(source.name, line),
        )


def _scalar(node: Any) -> str | None:
    plain = node.style is None
    if plain and node.value in ("", "~", "null"):
        return None
    return str(node.value)


def _mapping(source: Source, node: Any, path: Path, depth: int) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key_node, value_node in node.value:
        line = key_node.start_mark.line + 1
        if key_node.id != "scalar":
            raise BuildFileError(say("a name must be plain words"), Where(source.name, line))
        key = str(key_node.value)
        if key in out:
            raise BuildFileError(
                say(
                    "'{key}' stands here twice (first in line {line})",
                    key=key,
                    line=source.line((*path, key)),
                ),
                Where(source.name, line, key),
            )
        source.places[(*path, key)] = Where(source.name, line)
        out[key] = _convert(source, value_node, (*path, key), depth + 1)
    return out


def merge_sources(child: Source, parent: Source) -> Source:
    """The parent with the child's entries over it; ``null`` in the child takes an entry away."""
    places = parent.places | child.places
    return Source(child.name, _overlay(parent.data, child.data), places)


def _overlay(below: dict[str, Any], above: dict[str, Any]) -> dict[str, Any]:
    out = dict(below)
    for key, value in above.items():
        if value is None:
            out.pop(key, None)
        elif isinstance(value, dict) and isinstance(out.get(key), dict):
            out[key] = _overlay(out[key], value)
        else:
            out[key] = value
    return out
