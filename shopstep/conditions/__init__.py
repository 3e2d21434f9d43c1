"""What temperature and humidity do to glue, paint and wood.

Tables are data, each row with its source; the label on the user's own product always wins.
Imports ``shopstep.model`` and ``shopstep.units`` only.
"""
