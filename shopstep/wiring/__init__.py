"""Builds the real clock, files and planner and puts them into the doors; nobody else does.

Heavy rooms are imported where they are used, so that ``do`` and ``resume`` need no solver, no
validation library and no build parser. So this file imports nothing: take what you need from
``wiring.problems``, ``wiring.clocks``, ``wiring.desks`` and ``wiring.benches``.
"""
