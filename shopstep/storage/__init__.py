"""All input and output: session file, shelf, settings, folders, clock.

Imports the doors' protocols (``workbench``, ``desk``), ``session``, ``model`` and ``units``.
"""
