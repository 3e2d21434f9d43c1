"""Build-file text, measurements and choices to exact parts, joints, fits and authored steps.

Imports ``model`` and ``units``; texts come in as arguments, no file is read here.
"""
