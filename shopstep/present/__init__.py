"""State, plan and time to what every face shows: one StepCard, the same words everywhere.

Imports ``session``, ``model`` and ``units``; reads no clock and no file.
"""
