"""The ear beside a screen: sound goes in, levels and judgements come out, orders are obeyed.

The stream is always measured, so that the noise is known before somebody speaks; what is said is
judged only while a grammar is in force, and no sound is kept. Imports the ear and the endpointer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from shopstep.voice.hear import TOO_LOUD_DB, Ear
from shopstep.voice.hear_audio import Samples
from shopstep.voice.hear_endpoint import Endpointer, Utterance
from shopstep.voice.hear_news import CHANGED, Grammar, Judged, Level, News, Order, Ready
from shopstep.words import say

EARLY_S = 0.5
"""Who began to speak so long before the key was down is heard whole."""


@dataclass(slots=True)
class HearLoop:
    """Obeys orders and hears; use from one thread. Every piece of sound is answered by one level,
    after all that was judged in it."""

    ear: Ear
    tell: Callable[[News], None]
    _pointer: Endpointer = field(default_factory=Endpointer)
    _grammar: Grammar | None = None

    def begin(self) -> None:
        """Tell that it hears, and which phrases there are."""
        phrases = tuple((p.action, p.words) for p in self.ear.vocabulary.phrases)
        self.tell(Ready(phrases, self.ear.second is not None))

    def obey(self, order: Order) -> None:
        """What holds from now on; what was begun about another card is dropped and told."""
        if order.is_fresh:
            self._pointer = Endpointer()
        pointer, old, new = self._pointer, self._grammar, order.grammar
        if order.is_cut:
            for spoken in pointer.finish():
                self._judge(spoken)
            pointer.drop()
        elif old is None and pointer.spoken_s > EARLY_S:
            pointer.drop()
        elif old is not None and new is not None and old.about != new.about and pointer.in_speech:
            pointer.drop()
            self.tell(Judged(old.about, "", None, say(CHANGED)))
        self._grammar = new

    def feed(self, samples: Samples) -> None:
        """Hear a tenth of a second or so."""
        for spoken in self._pointer.feed(samples):
            self._judge(spoken)
        pointer = self._pointer
        loud = pointer.floor_db > TOO_LOUD_DB
        self.tell(Level(round(pointer.level_db, 1), pointer.in_speech, loud))

    def _judge(self, spoken: Utterance) -> None:
        grammar = self._grammar
        if grammar is None:
            return
        found = self.ear.judge(spoken, grammar.actions, grammar.cautions)
        self.tell(Judged(grammar.about, found.phrase, found.heard, found.text))
