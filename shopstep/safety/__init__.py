"""Cautions as data: tool, kind of operation and size of the work → the cards before a step.

The tool's own manual, local rules and licensed practice always govern. Imports ``shopstep.model``
and ``shopstep.units`` only.
"""
