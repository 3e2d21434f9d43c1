"""Order and times of the steps: one person, opening hours, waits, clamps and drying places.

Because one person does every step, a schedule is a row of blocks: resources are a matter of
their order alone, hours and waits a matter of when each starts. Imports ``shopstep.model`` and
``shopstep.units`` only.
"""
