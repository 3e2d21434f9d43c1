"""The words of a build file as a person reads them, out of its published JSON Schema.

``parts`` lists what may stand under a part, ``joints groove`` what a joint of that kind takes.
Imports the words and columns only; the schema comes as plain data.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopstep.present.columns import fold_item, fold_text
from shopstep.words import say

Schema = dict[str, Any]
_WIDTH = 78


class UnknownWord(ValueError):
    """A word that is not there; ``known`` are those that are."""

    def __init__(self, word: str, known: Sequence[str]) -> None:
        super().__init__(word)
        self.word, self.known = word, tuple(known)


def word_lines(schema: Schema, words: Sequence[str]) -> tuple[str, ...]:
    """What may stand under these words, each with its meaning; UnknownWord for one that may not.

    Without words: what may stand in the file itself.
    """
    options = [schema]
    for word in words:
        options = _below(schema, options, word)
    kinds = {kind: option for option in options if (kind := _kind(option))}
    at = " ".join(words)
    if len(kinds) > 1:
        return (
            *fold_text(say("{at}: one of these kinds", at=at), _WIDTH),
            *(line for kind, option in kinds.items() for line in _item(kind, option)),
            *_hint(at, next(iter(kinds))),
        )
    fields = {name: (field, option) for option in options for name, field in _fields(option)}
    lines = [
        line
        for name, (field, option) in fields.items()
        for line in _item(name, field, _notes(schema, field, name in option.get("required", [])))
    ]
    deeper = [name for name, (field, _) in fields.items() if _has_more(schema, field)]
    told = options[0].get("description", "") if words else say("A build file.")
    head = f"{at}: {told}" if words else told
    return (
        *fold_text(head, _WIDTH),
        *lines,
        *(_hint(at, deeper[len(deeper) // 2]) if deeper else ()),
    )


def _hint(at: str, word: str) -> list[str]:
    command = " ".join(("shopstep schema", at, word)).replace("  ", " ")
    return fold_text(say("More of one of them: {command}", command=command), _WIDTH)


def _item(name: str, field: Schema, notes: str = "") -> list[str]:
    said = str(field.get("description", "")).replace("``", "'")
    return fold_item(f"{name}: {said}{notes}", _WIDTH)


def _notes(schema: Schema, field: Schema, needed: bool) -> str:
    """What is needed, and the words that may be chosen from."""
    chosen = [str(word) for option in _options(schema, field) for word in option.get("enum", [])]
    words = list(dict.fromkeys(chosen))
    one_of = say(" One of: {words}.", words=", ".join(words)) if words[1:] else ""
    more = say(" Has words of its own.") if _has_more(schema, field) else ""
    return f"{say(' Needed.') if needed else ''}{one_of}{more}"


def _has_more(schema: Schema, field: Schema) -> bool:
    return any(_fields(option) for option in _entries(schema, field))


def _below(schema: Schema, options: list[Schema], word: str) -> list[Schema]:
    """What stands under one word: the entries of a field, or the kind of that name."""
    kinds = {kind: option for option in options if (kind := _kind(option))}
    if word in kinds:
        return [kinds[word]]
    fields = dict(pair for option in options for pair in _fields(option))
    found = _entries(schema, fields[word]) if word in fields else []
    if not any(_fields(option) for option in found):
        deeper = [name for name, field in fields.items() if _has_more(schema, field)]
        known = list(kinds) if len(kinds) > 1 else deeper
        raise UnknownWord(word, () if word in fields else known)
    return found


def _entries(schema: Schema, field: Schema) -> list[Schema]:
    """The entries that a field holds, whether by name, in a list, or itself."""
    found: list[Schema] = []
    for option in _options(schema, field):
        inner = [*option.get("patternProperties", {}).values(), option.get("items")]
        inner.append(option.get("additionalProperties"))
        held = [each for each in inner if isinstance(each, dict)]
        found += [o for each in held for o in _entries(schema, each)] if held else [option]
    return found


def _options(schema: Schema, node: Schema) -> list[Schema]:
    """The node, or what it may be instead, with references followed."""
    if "$ref" in node:
        return _options(schema, schema["$defs"][node["$ref"].rsplit("/", 1)[-1]])
    inner = [*node.get("anyOf", []), *node.get("oneOf", [])]
    return [found for each in inner for found in _options(schema, each)] if inner else [node]


def _fields(option: Schema) -> list[tuple[str, Schema]]:
    return list(option.get("properties", {}).items())


def _kind(option: Schema) -> str:
    return str(option.get("properties", {}).get("kind", {}).get("const", ""))
