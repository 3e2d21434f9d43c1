"""YAML 1.2 text to plain mappings, lists and strings, with the line of everything.

Every scalar stays a string: what it means is decided by the field it stands in, so ``no`` is a
word and ``1/2`` is not a date. Anchors are refused, so no text can grow when it is read.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from shopstep.model.plan import BuildFileError, Where

LARGEST_TEXT = 400_000
"""Characters; a build file is a few hundred lines."""
DEEPEST = 12

Path = tuple[str | int, ...]


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


def read_source(name: str, text: str) -> Source:
    """The text as a Source; BuildFileError with line and what would be right."""
    _check_text(name, text)
    node = _compose(name, text)
    source = Source(name, {})
    if node is None:
        raise BuildFileError("the build file is empty; begin with 'schema: 1'", Where(name, 1))
    data = _convert(source, node, (), 0)
    if not isinstance(data, dict):
        raise BuildFileError("a build file is a list of 'name: value' lines", Where(name, 1))
    source.data = data
    return source


def _check_text(name: str, text: str) -> None:
    if len(text) > LARGEST_TEXT:
        raise BuildFileError(
            f"the build file has {len(text):,} characters; {LARGEST_TEXT:,} is the most",
            Where(name, 1),
        )
    for number, line in enumerate(text.splitlines(), 1):
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent:
            raise BuildFileError("indented with a tab; use spaces", Where(name, number))
        depth = line.count("[") + line.count("{")
        if depth > 60:
            raise BuildFileError("too many brackets in one line", Where(name, number))


def _compose(name: str, text: str) -> Any:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    yaml = YAML(typ="safe", pure=True)
    try:
        return yaml.compose(text)
    except MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        raise BuildFileError(
            f"not readable as YAML: {problem.problem or problem.context}",
            Where(name, mark.line + 1 if mark else 1),
        ) from None
    except (YAMLError, RecursionError, ValueError) as problem:
        said = " ".join(str(problem).split())[:120]
        raise BuildFileError(f"not readable as YAML: {said}", Where(name, 1)) from None


def _convert(source: Source, node: Any, path: Path, depth: int) -> Any:
    line = node.start_mark.line + 1
    source.places.setdefault(path, Where(source.name, line))
    if depth > DEEPEST:
        raise BuildFileError("nested too deeply", Where(source.name, line))
    if node.anchor is not None:
        raise BuildFileError(
            f"'&{node.anchor}' names an anchor; build files do without, write the value out",
            Where(source.name, line),
        )
    if node.id == "scalar":
        return _scalar(node)
    if node.id == "sequence":
        return [_convert(source, item, (*path, i), depth + 1) for i, item in enumerate(node.value)]
    return _mapping(source, node, path, depth)


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
            raise BuildFileError("a name must be plain words", Where(source.name, line))
        key = str(key_node.value)
        if key in out:
            raise BuildFileError(
                f"'{key}' stands here twice (first in line {source.line((*path, key))})",
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
