"""How soon the first sound comes, what it costs, and how many numbers a recogniser reads back.

    python -m tests.benchmarks.speech [NUMBERS]

Its player plays nothing: the time is that until a player would be started.
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from shopstep.present.said import card_sentences
from shopstep.present.spoken import say_angle, say_inches, say_mm, say_span
from shopstep.units import SIXTY_FOURTH, Angle, Length
from shopstep.voice.engine import NORMAL, Engine, find_engines
from shopstep.voice.speak import Voice
from shopstep.voice.speak_cache import SpeechCache
from shopstep.voice.speak_queue import Playing, Speaker
from shopstep.voice.speak_wav import read_wav
from tests.every_card import every_card, shelf_plan
from tests.number_ears import hear_number, is_same_number


class _Heard:
    """Notes when the first file would sound."""

    def __init__(self) -> None:
        self.at_s = 0.0

    def play(self, file: Path) -> Playing | None:
        del file
        self.at_s = self.at_s or time.perf_counter()
        return None


def first_sound_s(voice: Voice, sentence: str) -> float:
    """From asking for a sentence to its first sound."""
    heard = _Heard()
    speaker = Speaker(voice, heard)
    begun = time.perf_counter()
    speaker.say((sentence,))
    while not heard.at_s:
        time.sleep(0.001)
    return heard.at_s - begun


def numbers(count: int) -> list[str]:
    """A fixed sample of spoken numbers: inches, millimetres, degrees, spans."""
    dice = random.Random(3)
    makers: tuple[Callable[[], str], ...] = (
        lambda: say_inches(SIXTY_FOURTH.times(dice.randint(1, 30 * 64))),
        lambda: say_inches(SIXTY_FOURTH.times(dice.randint(1, 63))),
        lambda: say_mm(Length.mm(f"{dice.randint(10, 9999) / 10}")),
        lambda: say_angle(Angle.degrees(f"{dice.randint(1, 900) / 10}")),
        lambda: say_span(dice.randint(5, 7000)),
    )
    return [makers[n % len(makers)]() for n in range(count)]


def read_back(engine: Engine, said: list[str]) -> int:
    """How many of the numbers the recogniser hears rightly."""
    right = 0
    for words in said:
        wav = engine.render(f"{words.capitalize()}.", NORMAL)
        right += is_same_number(words, hear_number(*read_wav(wav)))
    return right


def main(count: int) -> None:
    """Print one block for each engine of this machine."""
    cards = every_card(shelf_plan("screened-floor", "in"))
    distinct = list(dict.fromkeys(text for card in cards for text in card_sentences(card)))[:60]
    for engine in find_engines():
        with tempfile.TemporaryDirectory() as folder:
            voice = Voice([engine], SpeechCache(Path(folder)))
            print(f"{engine.name}: first of all {first_sound_s(voice, distinct[0]) * 1000:.0f} ms")
            made = [first_sound_s(voice, text) * 1000 for text in distinct[1:]]
            kept = [first_sound_s(voice, text) * 1000 for text in distinct]
            for what, times in (("not said before", made), ("kept", kept)):
                print(f"  {what}: median {statistics.median(times):.1f} ms, most {max(times):.0f}")
            said = numbers(count)
            print(f"  numbers read back rightly: {read_back(engine, said)} of {count}")
            voice.stop()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
