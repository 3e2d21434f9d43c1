"""Whether a design still fits when its cuts are off and its wood moves.

Fits with their levers come in as ``model`` values, and go out with worst case, odds and advice.
Imports ``model`` and ``units``.
"""

from shopstep.fitting.analysis import Fitting, analyse_fits
from shopstep.fitting.watching import watch_cuts

__all__ = ["Fitting", "analyse_fits", "watch_cuts"]
