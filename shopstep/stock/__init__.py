"""Stock: which board, sheet, roll or rack piece each blank is cut from, and what to buy.

Imports only ``shopstep.model`` and ``shopstep.units``.
"""

from shopstep.stock.found import Find, find_widths
from shopstep.stock.layout import StockPlan, plan_stock

__all__ = ["Find", "StockPlan", "find_widths", "plan_stock"]
