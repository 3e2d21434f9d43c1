"""Makes the alarm sounds in ``assets/``: ``python -m tests.make_sounds``.

Our own sounds, byte for byte the same on every machine: triangle waves in whole numbers. Low and
soft for half, two rising tones for what is due, three hard ones for what is late.
"""

from __future__ import annotations

import io
import wave
from pathlib import Path

RATE = 16_000
FADE = 160
"""Samples over which a tone comes and goes, against clicks."""
TONES: dict[str, tuple[tuple[int, int, int], ...]] = {
    "half": ((440, 180, 9_000),),
    "due": ((660, 160, 20_000), (0, 60, 0), (880, 260, 20_000)),
    "late": ((880, 140, 28_000), (0, 60, 0)) * 3 + ((660, 320, 28_000),),
}
"""By the name of an alarm: tones as hertz, milliseconds and loudness (of 32,767)."""
ASSETS = Path(__file__).resolve().parent.parent / "assets"


def tone(hertz: int, milliseconds: int, loud: int) -> bytes:
    """One tone as 16-bit samples."""
    count = RATE * milliseconds // 1000
    samples = bytearray()
    for at in range(count):
        turn = (at * hertz * 4) % (RATE * 4)  # four quarters of RATE make one wave
        quarter, rest = divmod(turn, RATE)
        height = (rest, RATE - rest, -rest, rest - RATE)[quarter]
        edge = min(FADE, at, count - 1 - at)
        samples += (height * loud * edge // (RATE * FADE)).to_bytes(2, "little", signed=True)
    return bytes(samples)


def sound(name: str) -> bytes:
    """A whole WAV file."""
    buffer = io.BytesIO()
    with wave.open(buffer, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(b"".join(tone(*each) for each in TONES[name]))
    return buffer.getvalue()


if __name__ == "__main__":
    for each in TONES:
        (ASSETS / f"{each}.wav").write_bytes(sound(each))
