"""What is said to a tablet that listens, and what its server tells it back."""

from __future__ import annotations

import json
from dataclasses import replace

from shopstep.units import Length
from shopstep.voice.hear_news import Grammar, Judged, News, Ready
from shopstep.voice.hear_policy import Heard
from tests.fake_bench import GLUE, STEP, FakeBench
from tests.fake_ears import PHRASES
from tests.raw_web import Web, frame, next_text
from tests.tablet_ear import QUIET, EarLink, FedEars, Told
from tests.tablet_served import Served, wait_until

STARTS = replace(GLUE, actions=(replace(STEP.actions[0], id="start"), *STEP.actions))
READY = Ready(tuple(PHRASES.items()), True)


def opened(served: Served, ears: FedEars, web: Web | None = None) -> EarLink:
    """A microphone that is open, and of which a first piece was heard."""
    link = EarLink.open(web or served.paired_web(), served.bench.shown.version)
    link.next("open")
    link.send(QUIET)
    wait_until(lambda: grammar_of(ears) is not None, "it listens")
    return link


def grammar_of(ears: FedEars) -> Grammar | None:
    """What the ear was last told to hear; None where it hears nothing."""
    return ears.orders[-1].grammar if ears.orders else None


def judged(ears: FedEars, action: str, words: str = "", value: Length | None = None) -> Judged:
    """A phrase taken for certain, about what the ear was last told to hear."""
    grammar = next(order.grammar for order in reversed(ears.orders) if order.grammar)
    said = words or PHRASES[action]
    return Judged(grammar.about, said, Heard(action, said, value), "")


def tells(link: EarLink, ears: FedEars, *news: News) -> Told:
    """The ear tells; what the page is told about what was heard."""
    ears.waiting += news
    return link.next("heard")


def kinds(bench: FakeBench) -> list[str]:
    """Names of the commands that were sent."""
    return [type(command).__name__ for command in bench.commands]


def tapped(web: Web, act: str, seen: int) -> Told:
    """An answer that is tapped, over the socket of the card."""
    link, _ = web.open("/card")
    message = {"id": "b" * 32, "act": act, "step": "", "seen": seen}
    link.sendall(frame(json.dumps(message).encode()))
    answer = next_text(link, "answer")
    link.close()
    return answer
