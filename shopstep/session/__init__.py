"""What happened at the bench: commands, events, state, decisions, timers.

Pure: the time is an argument, nothing is read or written here. Imports ``model`` and ``units``.
"""
