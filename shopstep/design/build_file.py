"""A build file's text to its validated shape; every complaint with line and nearest word."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from shopstep.design.nearest import did_you_mean
from shopstep.design.schema import BuildEntry
from shopstep.design.schema_types import BUILD_ID, LONGEST_ID
from shopstep.design.yaml_source import Path, Source, merge_sources, read_source
from shopstep.model.plan import BuildFileError, BuildText
from shopstep.words import figure, say, to_say


@dataclass(frozen=True, slots=True)
class BuildFile:
    """A build file that has the right shape; its expressions are not read yet."""

    source: Source
    entry: BuildEntry

    @property
    def all_parts(self) -> tuple[str, ...]:
        """Names of all parts of the file, chosen or not."""
        parts = self.source.data.get("parts")
        return tuple(str(name) for name in parts) if isinstance(parts, dict) else ()


@lru_cache(maxsize=16)
def read_build_file(build: BuildText, parents: tuple[BuildText, ...] = ()) -> BuildFile:
    """The build, over its parents (nearest first). BuildFileError with file, line and remedy."""
    source = read_source(build.name, build.text)
    for parent in parents:
        source = merge_sources(source, read_source(parent.name, parent.text))
    return BuildFile(source, _validate(source))


def read_parent_id(build: BuildText) -> str | None:
    """The id of the build that this one changes, or None; BuildFileError for what is no id."""
    parent = read_source(build.name, build.text).data.get("parent")
    if not isinstance(parent, str) or not parent.strip():
        return None
    if len(parent) > LONGEST_ID or re.fullmatch(BUILD_ID, parent) is None:
        raise BuildFileError(
            say("'parent' names a build by its id: up to 60 small letters, digits and hyphens"),
            read_source(build.name, build.text).where(("parent",), "parent"),
        )
    return parent


def _validate(source: Source) -> BuildEntry:
    from pydantic import ValidationError

    version = source.data.get("schema")
    if version != "1":
        raise BuildFileError(
            say("a build file begins with 'schema: 1'")
            if version is None
            else say(
                "schema {version} is not known here; this program reads schema 1", version=version
            ),
            source.where(("schema",)),
        )
    try:
        return BuildEntry.model_validate(source.data)
    except ValidationError as problem:
        raise _first_error(source, problem.errors(include_url=False)) from None


def _first_error(source: Source, errors: list[Any]) -> BuildFileError:
    """The first complaint in the file; a misspelt key before what it leaves missing."""
    misspelt = [error for error in errors if error["type"] == "extra_forbidden"]
    path, text = min(
        (_sentence(source, error) for error in misspelt or errors),
        key=lambda said: source.line(said[0]),
    )
    return BuildFileError(text, source.where(path, str(path[-1]) if path else ""))


def _sentence(source: Source, error: Any) -> tuple[Path, str]:
    path = _real_path(source, tuple(error["loc"]))
    name = ".".join(str(p) for p in path) or say("the file")
    kind, context = error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        return path, say(
            "'{path}' is not known here{did_you_mean}",
            path=path[-1],
            did_you_mean=did_you_mean(str(path[-1]), _known(path)),
        )
    if kind == "missing" and isinstance(path[-1], int):
        return path[:-1], say("'{map}' has too few entries", map=".".join(map(str, path[:-1])))
    if kind == "missing":
        return path[:-1], say(
            "'{path}' is missing in '{map}'",
            path=path[-1],
            map=".".join(map(str, path[:-1])) or say("the file"),
        )
    if kind == "union_tag_invalid":
        path, name = (*path, "kind"), f"{name}.kind"
    if kind in ("literal_error", "union_tag_invalid"):
        wanted = context.get("expected") or context.get("expected_tags", "")
        one_of = say("one of ") if " or " in wanted or "," in wanted else ""
        if error["loc"][-1] == "[key]":
            return path, say(
                "'{word}' is no name here; it must be {one_of}{wanted}",
                word=path[-1],
                one_of=one_of,
                wanted=wanted,
            )
        return path, say(
            "'{name}' is '{found}'; it must be {one_of}{wanted}",
            name=name,
            found=_found(source, path),
            one_of=one_of,
            wanted=wanted,
        )
    if kind in _NUMBERS:
        return path, say(
            "'{name}' is '{found}'; it must be {numbers}",
            name=name,
            found=_found(source, path),
            numbers=say(_NUMBERS[kind]),
        )
    if kind == "union_tag_not_found":
        return path, say("'{name}' needs a 'kind'", name=name)
    if kind in _LIMITS:
        return path, say(
            "'{name}' is '{found}'; it must be {limit}",
            name=name,
            found=_found(source, path),
            limit=_LIMITS[kind](context),
        )
    if kind in _SIZES:
        return path, f"'{name}' {_SIZES[kind](context)}"
    if kind == "string_pattern_mismatch":
        word = path[-1] if error["loc"][-1] == "[key]" else _found(source, path)
        return path, say(
            "'{word}' is no name here; {rule}",
            word=word,
            rule=_name_rule(str(context.get("pattern"))),
        )
    if kind in ("string_type", "dict_type", "list_type", "tuple_type", "model_type"):
        return path, say("'{name}' must be {wanted}", name=name, wanted=say(_WANTED[kind]))
    return path, f"'{name}': {str(error['msg'])[0].lower()}{str(error['msg'])[1:]}"


_NUMBERS = to_say(
    {
        "int_parsing": "a whole number",
        "int_from_float": "a whole number",
        "int_type": "a whole number",
        "float_parsing": "a number",
        "float_type": "a number",
        "finite_number": "a number",
        "bool_parsing": "true or false",
        "bool_type": "true or false",
    }
)
_LIMITS: dict[str, Callable[[Any], str]] = {
    "greater_than": lambda limit: say("more than {gt}", gt=figure(limit["gt"], "g")),
    "greater_than_equal": lambda limit: say("{ge} or more", ge=figure(limit["ge"], "g")),
    "less_than_equal": lambda limit: say("{le} or less", le=figure(limit["le"], "g")),
}
_SIZES: dict[str, Callable[[Any], str]] = {
    "string_too_long": lambda limit: say(
        "is longer than {max_length} characters", max_length=limit["max_length"]
    ),
    "string_too_short": lambda _: say("is empty"),
    "too_short": lambda limit: say(
        "needs at least {min_length}, and has {actual_length}",
        min_length=limit["min_length"],
        actual_length=limit["actual_length"],
    ),
    "too_long": lambda limit: say(
        "takes at most {max_length}, and has {actual_length}",
        max_length=limit["max_length"],
        actual_length=limit["actual_length"],
    ),
}
_WANTED = to_say(
    {
        "string_type": "a size or words, and stands here empty or as a list",
        "dict_type": "'name: value' lines, without '- ' before them",
        "list_type": "a list in brackets",
        "tuple_type": "a list of three axes",
        "model_type": "'name: value' lines, without '- ' before them",
    }
)


def _name_rule(pattern: str) -> str:
    if "-]" in pattern:
        return say("use small letters, digits and hyphens, a letter first")
    if "/" in pattern:
        return say("a step is named stage/name, in small letters")
    return say("use small letters, digits and underscores, a letter first")


def _real_path(source: Source, location: tuple[str | int, ...]) -> Path:
    """The location without the tags that stand for 'which kind' and for dictionary keys."""
    path: list[str | int] = []
    here: Any = source.data
    for step in location:
        if step == "[key]":
            continue
        inside, there = _look_into(here, step)
        if not there and (not isinstance(here, (dict, list)) or step in _TAGS):
            continue
        here = inside
        path.append(step)
    return tuple(path)


def _look_into(here: Any, step: str | int) -> tuple[Any, bool]:
    """What stands at one step of a path, and whether anything does."""
    if isinstance(here, dict):
        return here.get(step), step in here
    if isinstance(here, list) and isinstance(step, int) and step < len(here):
        return here[step], True
    return None, False


_TAGS = {
    "groove",
    "bevel",
    "holes",
    "notch",
    "butt",
    "rabbet",
    "dado",
    "box",
    "fingers",
    "recess",
    "lap",
    "RangeEntry",
    "constrained-str",
    "AtEntry",
    "list[AtEntry]",
}


def _found(source: Source, path: Path) -> Any:
    here: Any = source.data
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return say("nothing")
    return here


@cache
def _schema() -> Any:
    return BuildEntry.model_json_schema(by_alias=True)


def _known(path: Path) -> list[str]:
    """The keys that the models know at a path, by walking the published schema."""
    schema = _schema()
    node: Any = schema
    for step in path[:-1]:
        node = _step_into(schema, node, step)
    return sorted(
        {key for option in _options(schema, node) for key in option.get("properties", {})}
    )


def _options(schema: Any, node: Any) -> list[Any]:
    if "$ref" in node:
        return _options(schema, schema["$defs"][node["$ref"].rsplit("/", 1)[-1]])
    found = [node]
    for key in ("anyOf", "oneOf"):
        for option in node.get(key, []):
            found += _options(schema, option)
    return found


def _step_into(schema: Any, node: Any, step: str | int) -> Any:
    for option in _options(schema, node):
        if step in option.get("properties", {}):
            return option["properties"][step]
        if isinstance(step, str) and isinstance(option.get("additionalProperties"), dict):
            return option["additionalProperties"]
        if isinstance(step, str) and option.get("patternProperties"):
            return next(iter(option["patternProperties"].values()))
        if isinstance(step, int) and "items" in option:
            return option["items"]
    return {}
