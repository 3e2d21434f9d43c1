"""The general scheduling engine: activities, resources, time lags → starts, a bound, a proof.

Knows nothing of steps, glue or hours: the rooms above say what an activity is. Its door is
``engine.solving``. Imports the standard library and this package only.
"""
