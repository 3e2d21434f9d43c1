"""Cautions as data: tool, kind of operation and size of the work → the cards before a step.

The tool's own manual, local rules and licensed practice always govern. Imports ``shopstep.model``
and ``shopstep.units`` only.
"""

from shopstep.safety.row import Work
from shopstep.safety.table import cautions_for
from shopstep.safety.tools import GUARD_OFF_KINDS, TOOLS

__all__ = ["GUARD_OFF_KINDS", "TOOLS", "Work", "cautions_for"]
