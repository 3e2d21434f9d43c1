"""Milling: what the machines do to make the parts.

This room turns parts and their features into blanks, machine operations and setups, and the
setups into steps. Imports only ``shopstep.model`` and ``shopstep.units``.
"""

from shopstep.milling.allowing import as_cut
from shopstep.milling.lots import divide_long
from shopstep.milling.planing import with_planing
from shopstep.milling.route import Milling, plan_milling
from shopstep.milling.spares import spare_blanks
from shopstep.milling.steps import derive_steps

__all__ = [
    "Milling",
    "as_cut",
    "derive_steps",
    "divide_long",
    "plan_milling",
    "spare_blanks",
    "with_planing",
]
