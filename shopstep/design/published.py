"""The shape of a build file for other programs: its JSON Schema, and what an id looks like."""

from __future__ import annotations

import re
from typing import Any

from shopstep.design.schema import BuildEntry
from shopstep.design.schema_types import BUILD_ID, LONGEST_ID

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def publish_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a whole build file, a description with every field.

    A build with a ``parent`` is whole once its parent's entries stand under its own.
    """
    body = BuildEntry.model_json_schema(by_alias=True)
    _close_names(body)
    return {"$schema": DIALECT, **body, "title": "shopstep build file, schema 1"}


def _close_names(node: Any) -> None:
    """Names that do not look as they must are refused, not passed over."""
    if isinstance(node, dict):
        if "patternProperties" in node:
            node["additionalProperties"] = False
        for inner in node.values():
            _close_names(inner)
    elif isinstance(node, list):
        for inner in node:
            _close_names(inner)


def is_build_id(name: str) -> bool:
    """Whether a name can be the id of a build."""
    return len(name) <= LONGEST_ID and re.fullmatch(BUILD_ID, name) is not None
