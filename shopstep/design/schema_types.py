"""The words that every entry of a build file is made of. Imports nothing of the project.

Numbers stay text: YAML's ``8`` and ``8 in`` are both expressions, so the published schema lets
numbers in where an expression is asked for.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints, WithJsonSchema

Expr = Annotated[
    str,
    StringConstraints(strip_whitespace=True, min_length=1),
    WithJsonSchema({"type": ["string", "number"], "minLength": 1}),
]
"""A length, an angle or a small expression over names: ``14 3/8 in + 2*board_thickness``."""
Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=600)]
BUILD_ID = r"^[a-z][a-z0-9-]*$"
LONGEST_ID = 60
BuildId = Annotated[str, StringConstraints(pattern=BUILD_ID, max_length=LONGEST_ID)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
PieceName = Annotated[
    str, StringConstraints(pattern=r"^((left|right) )?[a-z][a-z0-9_]*$", max_length=46)
]
"""A part, or one hand of a handed part: ``panel``, ``left side_rail``."""
StepId = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*/[a-z][a-z0-9_]*$")]
FaceName = Literal["front", "back", "left", "right", "bottom", "top", "inside", "outside"]
AxisName = Literal["front-back", "left-right", "bottom-top"]
PartFace = Annotated[
    str,
    StringConstraints(
        pattern=r"^[a-z][a-z0-9_]* (front|back|left|right|bottom|top|inside|outside)$",
        max_length=50,
    ),
]
"""One face of a part: ``panel top``."""
Ends = Annotated[Literal["1", "2"], WithJsonSchema({"enum": ["1", "2", 1, 2]})]
"""YAML writes a count as a number; the reader keeps every scalar as text."""
SchemaNumber = Annotated[Literal["1"], WithJsonSchema({"enum": ["1", 1]})]


class Strict(BaseModel):
    """No key but those that are named."""

    model_config = ConfigDict(extra="forbid", frozen=True)
