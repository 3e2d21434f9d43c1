"""Whether noise disturbed an utterance, and how sure each ear has to be then and in quiet.

In quiet a phrase that was said stands out more than what only sounds like it ("hold the match
here"), so more is demanded there; and what the first ear refused there is not rescued by the second
one, as it was more likely something else that was said. Chosen by near misses and voices that no
benchmark has. Imports ``bangs`` and ``hear_endpoint``.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopstep.voice.bangs import is_banged
from shopstep.voice.hear_endpoint import Utterance

QUIET_SNR_DB = 14.0
"""What stands out more was said in a quiet shop, or beside a machine far away."""
QUIET_MARGIN = 0.7
"""So far the personal model's odds for a phrase have to be above those of any other."""
HALF_MARGIN = 0.5
"""So far where something banged: the model is less sure then."""
FIT_WEIGHT, SUM_QUIET = 2.0, -2.9
"""What the grammar and the second ear find, added up: how much the second one counts, and the least
sum in quiet."""
_NEVER = -99.0


@dataclass(frozen=True, slots=True)
class Least:
    """How sure what was heard has to be."""

    margin: float
    """The personal model."""
    both: float
    """The grammar and the second ear together."""
    may_rescue: bool
    """Whether the second ear may take what the grammar refused."""
    may_rescue_known: bool
    """The same for what a personal model refused."""


QUIET = Least(QUIET_MARGIN, SUM_QUIET, may_rescue=False, may_rescue_known=False)
LOUD = Least(QUIET_MARGIN, _NEVER, may_rescue=True, may_rescue_known=False)
"""Beside a machine. It disturbs no personal model."""
BANGED = Least(HALF_MARGIN, _NEVER, may_rescue=True, may_rescue_known=True)


def least_for(utterance: Utterance) -> Least:
    """What is demanded of an utterance."""
    if is_banged(utterance.samples):
        return BANGED
    return QUIET if utterance.snr_db >= QUIET_SNR_DB else LOUD
