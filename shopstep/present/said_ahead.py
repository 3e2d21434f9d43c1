"""What the steps that are left will say, so that it can be made into speech before it is wanted.

Each step is looked at as if all before it in the plan were done and it stood at the bench.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shopstep.model.plan import Plan
from shopstep.present.card_for import card_for
from shopstep.present.said import card_sentences
from shopstep.session.state import State


def sentences_ahead(state: State, plan: Plan, now_s: int) -> Iterator[str]:
    """The sentences of the steps that are left, in plan order, each once."""
    done = dict(state.finished)
    told: set[str] = set()
    for step in plan.steps:
        if step.id in done:
            continue
        here = replace(state, finished=dict(done), at_bench=step.id, begun={step.id: now_s})
        known = replace(here, acknowledged=state.acknowledged | {step.id})
        for seen in (here, known):
            for sentence in card_sentences(card_for(seen, plan, now_s)):
                if sentence not in told:
                    told.add(sentence)
                    yield sentence
        done[step.id] = now_s
