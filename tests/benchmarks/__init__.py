"""Figures, printed as ratios in one run. Run one: ``python -m tests.benchmarks.NAME``."""
