"""Findings as they are told: what is wrong with a left and a right part alike is said once.

Imports ``model``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from shopstep.model.plan import Finding
from shopstep.words import say

_LEFT, _RIGHT = "left ", "right "


def told_once(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in their order; one of the left part that the right one repeats names both."""
    told: list[Finding] = []
    for finding in findings:
        if finding in told:
            continue
        left = _as_left(finding)
        if left is not None and left in told:
            text = say(
                "{left} and right {left_2}", left=left.text[:4], left_2=left.text[len(_LEFT) :]
            )
            told[told.index(left)] = replace(left, text=text)
        else:
            told.append(finding)
    return tuple(told)


def _as_left(finding: Finding) -> Finding | None:
    """The same of the left part; None where it is not of a right one."""
    text = finding.text
    if not text.lower().startswith(_RIGHT):
        return None
    left = _LEFT.capitalize() if text[0].isupper() else _LEFT
    return replace(finding, text=f"{left}{text[len(_RIGHT) :]}")
