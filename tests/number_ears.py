"""An independent listener: pocketsphinx with a grammar of spoken numbers.

Not used by the program. ``numpy`` only brings 24 kHz to the 16 kHz of the recogniser.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np
from pocketsphinx import Decoder, get_model_path

RATE = 16_000
GRAMMAR = """#JSGF V1.0;
grammar numbers;
<digit> = one|two|three|four|five|six|seven|eight|nine;
<teen> = ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen;
<ten> = twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety;
<small> = <digit>|<teen>|<ten> [<digit>];
<count> = <small>|<digit> hundred [<small>]|<digit> thousand [<digit> hundred] [<small>];
<part> = quarter|quarters|eighth|eighths|sixteenth|sixteenths|
 thirty second|thirty seconds|sixty fourth|sixty fourths;
<inches> = <small> (inch|inches)|<small> and (<small> <part>|a half) inches|
 <small> <part> of an inch|half an inch;
<tenths> = <count> [point (zero|<digit>)];
<span> = <small> (minute|minutes) [<small> (second|seconds)]|
 <small> (hour|hours) [<small> (minute|minutes)]|<small> (second|seconds);
public <number> = <inches>|<tenths> (millimeters|millimeter)|<tenths> (degree|degrees)|<span>;
"""
"""Not limited to fractions that there are: "seventeen" can be taken for "seventy"."""
_ADDED = {"sixteenths": "S IH K S T IY N TH S", "eighths": "EY T TH S", "fourths": "F AO R TH S"}

_PLURAL = re.compile(r"\b(quarter|eighth|sixteenth|second|fourth)s(?= of| inch)")


@cache
def _decoder() -> Any:
    decoder = Decoder(
        hmm=get_model_path("en-us/en-us"),
        dict=get_model_path("en-us/cmudict-en-us.dict"),
        lm=None,
        samprate=float(RATE),
        loglevel="FATAL",
    )
    for word, phones in _ADDED.items():
        if decoder.lookup_word(word) is None:
            decoder.add_word(word, phones, True)
    decoder.add_jsgf_string("numbers", GRAMMAR)
    decoder.activate_search("numbers")
    return decoder


def hear_number(frames: bytes, rate: int) -> str:
    """What the recogniser makes of 16-bit mono samples; empty for nothing."""
    samples = np.frombuffer(frames, "<i2").astype(float)
    wanted = round(len(samples) * RATE / rate)
    bent = np.fft.irfft(np.fft.rfft(samples)[: wanted // 2 + 1], wanted) * wanted / len(samples)
    quiet = np.random.default_rng(0).normal(0, 8, len(bent) + RATE // 2)
    quiet[RATE // 4 : RATE // 4 + len(bent)] += bent / np.abs(bent).max() * 20_000
    decoder = _decoder()
    decoder.start_utt()
    decoder.process_raw(quiet.astype("<i2").tobytes(), full_utt=True)
    decoder.end_utt()
    found = decoder.hyp()
    return str(found.hypstr) if found else ""


def is_same_number(said: str, heard: str) -> bool:
    """Whether both are one number; "seven eighth" is no other number than "seven eighths"."""
    plain = said.replace("-", " ").replace("millimetre", "millimeter")
    one, other = (_PLURAL.sub(r"\1", text) for text in (plain, heard))
    return one == other
