"""A small checker for JSON Schema, written from the words of draft 2020-12 that are used here.

So that the published schema is held against shipped builds by something that is not pydantic.
"""

from __future__ import annotations

import re
from typing import Any

KINDS: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "number": (int, float),
    "integer": (int,),
    "boolean": (bool,),
    "null": (type(None),),
}
KNOWN = {
    *("$schema", "$defs", "$ref", "title", "description", "default", "discriminator", "format"),
    *("type", "enum", "const", "anyOf", "oneOf", "pattern", "minLength", "maxLength", "minimum"),
    *("maximum", "exclusiveMinimum", "properties", "required", "additionalProperties", "items"),
    *("patternProperties", "propertyNames", "prefixItems", "minItems", "maxItems"),
    "minProperties",
}


def faults(schema: Any, value: Any, root: Any, path: str = "") -> list[str]:
    """What of a value the schema does not allow; AssertionError for a word not known here."""
    assert set(schema) <= KNOWN, set(schema) - KNOWN
    if "$ref" in schema:
        return faults(root["$defs"][schema["$ref"].rsplit("/", 1)[-1]], value, root, path)
    found = [f"{path}: {text}" for text in _plain_faults(schema, value)]
    for word in ("anyOf", "oneOf"):
        fitting = [o for o in schema.get(word, []) if not faults(o, value, root, path)]
        if word in schema and (not fitting or (word == "oneOf" and len(fitting) > 1)):
            found.append(f"{path}: {len(fitting)} of {word}")
    if isinstance(value, dict):
        found += _object_faults(schema, value, root, path)
    if isinstance(value, list):
        items = schema.get("prefixItems", []) or [schema.get("items", {})] * len(value)
        for number, (inner, item) in enumerate(zip(items, value, strict=False)):
            found += faults(inner, item, root, f"{path}/{number}")
    return found


def _plain_faults(schema: Any, value: Any) -> list[str]:
    kinds = schema.get("type", list(KINDS))
    allowed = [k for name in ([kinds] if isinstance(kinds, str) else kinds) for k in KINDS[name]]
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    text = isinstance(value, str)
    wrong = {
        "type": type(value) not in allowed,
        "enum": "enum" in schema and value not in schema["enum"],
        "const": "const" in schema and value != schema["const"],
        "pattern": text and re.search(schema.get("pattern", ""), value) is None,
        "length": text
        and not schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", 10**9),
        "minimum": number and value < schema.get("minimum", value),
        "maximum": number and value > schema.get("maximum", value),
        "exclusiveMinimum": number and value <= schema.get("exclusiveMinimum", value - 1),
        "items": isinstance(value, list)
        and not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", 10**9),
        "properties": isinstance(value, dict) and len(value) < schema.get("minProperties", 0),
    }
    return [word for word, is_wrong in wrong.items() if is_wrong]


def _object_faults(schema: Any, value: dict[str, Any], root: Any, path: str) -> list[str]:
    named, rest = schema.get("properties", {}), schema.get("additionalProperties", True)
    patterns = schema.get("patternProperties", {})
    found = [
        f"{path}: {name} is missing" for name in schema.get("required", []) if name not in value
    ]
    for name, inner in value.items():
        place = f"{path}/{name}"
        matching = [s for pattern, s in patterns.items() if re.search(pattern, name)]
        found += faults(schema.get("propertyNames", {}), name, root, place)
        for option in [named[name]] if name in named else matching:
            found += faults(option, inner, root, place)
        if name not in named and not matching:
            if rest is False:
                found.append(f"{place}: not known")
            elif isinstance(rest, dict):
                found += faults(rest, inner, root, place)
    return found
