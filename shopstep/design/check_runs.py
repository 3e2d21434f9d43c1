"""How many checks a step may have before nobody reads them with care.

Imports the build file and the shapes of findings.
"""

from __future__ import annotations

from shopstep.design.build_file import BuildFile
from shopstep.model.plan import Finding, Level
from shopstep.words import say

MOST_CHECKS = 7
"""Checklists are kept to 5 to 9 items at one pause (WHO, *Implementation manual: surgical safety
checklist*, 2009, from memory), and long ones are cut into short ones (Degani and Wiener, NASA
Contractor Report 177549, 1990, Appendix A, from memory). 7 is the middle of that range, for hands
in gloves: our choice."""


def check_run_findings(build: BuildFile) -> tuple[Finding, ...]:
    """A warning for every authored step with more checks than are read with care in one go."""
    return tuple(
        Finding(
            Level.WARN,
            "long_check_run",
            say(
                "step '{step}' has {checks} checks; more than {most_checks} in one go are"
                " not read with care",
                step=step,
                checks=len(entry.checks),
                most_checks=MOST_CHECKS,
            ),
            build.source.where(("steps", step, "checks"), step),
            say("split the step in two, each with at most {most_checks}", most_checks=MOST_CHECKS),
        )
        for step, entry in build.entry.steps.items()
        if len(entry.checks) > MOST_CHECKS
    )
