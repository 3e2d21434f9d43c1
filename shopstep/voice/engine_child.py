"""The process that holds the voice's net: reads sentences, writes WAV, until its input ends.

A line in is JSON ``{"text": …, "pace": …}``; out comes a line with the number of bytes, then as
many bytes of WAV; 0 where the sentence has no sound.
"""

from __future__ import annotations

import json
import os
import sys
from importlib import import_module
from typing import Any

from shopstep.voice.speak_wav import make_wav

LOUDEST = 0.9
"""Every sentence is brought to the same peak: a shop is loud."""


def main() -> None:
    """Serve until the input ends."""
    if hasattr(os, "nice"):
        os.nice(5)  # whoever draws the screen goes first
    hibari = import_module("hibari")  # from the extra; loaded in this process only
    voice, rate = hibari.Hibari(), int(hibari.SAMPLE_RATE)
    for line in sys.stdin.buffer:
        asked = json.loads(line)
        wav = _render(voice, rate, asked["text"], asked["pace"])
        sys.stdout.buffer.write(f"{len(wav)}\n".encode() + wav)
        sys.stdout.buffer.flush()


def _render(voice: Any, rate: int, text: str, pace: float) -> bytes:
    samples = voice(text, speed=pace, seed=0)
    peak = float(abs(samples).max()) if len(samples) else 0.0
    if peak == 0.0:
        return b""
    return make_wav((samples * (LOUDEST * 32767 / peak)).astype("<i2").tobytes(), rate)


if __name__ == "__main__":
    main()
