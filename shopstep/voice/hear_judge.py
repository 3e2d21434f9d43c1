"""Whether the phrase that fits best was really said: how well it fits, added up.

Imports ``recogniser`` for its shape only. The weights are a logistic regression over phrases, near
misses and talk in synthetic voices and recorded sentences, in four noises; no benchmark uses those
voices (`tests/benchmarks/hearing.py` has the table that came of it).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopstep.words import say, to_say

if TYPE_CHECKING:
    from shopstep.voice.recogniser import Found

_WEIGHTS = {"weakest": 246.0, "whole": 1492.0, "lead": 1431.0, "outside": 942.0}
_BIAS = 5.97
_USUAL = {"weakest": -0.0035, "whole": -0.0017, "lead": -0.0002, "outside": -0.0003}
"""What a phrase that was said has, in the middle."""
_WORST = {"weakest": -0.02, "whole": -0.02, "lead": -0.01, "outside": -0.01}
_BEST = {"weakest": 0.0, "whole": 0.005, "lead": 0.006, "outside": 0.002}
SURE = -1.2
"""Least sum for a phrase of the card; lower takes more near misses, higher refuses more phrases."""
POSSIBLE = -1.5
"""The same where the personal model is sure of the phrase: the grammar only has to think it
possible."""
WEAKEST_LONG, WHOLE_LONG = -0.009, -0.0036
"""Least for the sentences of cautions and for numbers: they have no near miss to stand against."""
_WORDS = to_say(
    {
        "weakest": "one of the words was another",
        "whole": "it only sounds a little like it",
        "lead": "something else fits as well",
        "outside": "more was heard than the phrase",
    }
)


def sureness(found: Found) -> float:
    """The log odds that the phrase was said; above SURE it is believed."""
    parts = _parts(found)
    return _BIAS + sum(_WEIGHTS[name] * value for name, value in parts.items())


def doubt_of(found: Found, least: float = SURE) -> str:
    """Why the phrase is not believed, in words; empty where it is."""
    if sureness(found) >= least:
        return ""
    parts = _parts(found)
    worst = min(parts, key=lambda name: _WEIGHTS[name] * (parts[name] - _USUAL[name]))
    return say(_WORDS[worst])


def doubt_of_long(found: Found) -> str:
    """The same for the sentence of a caution and for a number."""
    if found.weakest < WEAKEST_LONG:
        return say(_WORDS["weakest"])
    return say(_WORDS["whole"]) if found.whole < WHOLE_LONG else ""


def _parts(found: Found) -> dict[str, float]:
    """The scores, none of them so far out that it decides alone."""
    said = {
        "weakest": found.weakest,
        "whole": found.whole,
        "lead": found.lead,
        "outside": found.outside,
    }
    return {name: min(max(value, _WORST[name]), _BEST[name]) for name, value in said.items()}
