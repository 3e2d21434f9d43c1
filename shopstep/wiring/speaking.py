"""What speaks on this machine: engines, the cache of what was said, the player.

Nothing of it is imported before voice is on.
"""

from __future__ import annotations

from shopstep.storage.folders import cache_folder
from shopstep.storage.sound_player import WavPlayer
from shopstep.voice.engine import NO_ENGINE, NORMAL, SLOW, find_engines
from shopstep.voice.speak import Voice, sentences_of
from shopstep.voice.speak_cache import SpeechCache
from shopstep.voice.speak_queue import NO_SOUND, Speaker

__all__ = [
    "NORMAL", "NO_ENGINE", "NO_SOUND", "SLOW", "Speaker", "Voice", "make_player", "make_speaker",
    "make_voice", "sentences_of",
]  # fmt: skip


def make_voice() -> Voice:
    """The engines of this machine with what they said before."""
    return Voice(find_engines(), SpeechCache(cache_folder() / "speech"))


def make_player() -> WavPlayer:
    """What the machine plays files with."""
    return WavPlayer()


def make_speaker() -> Speaker:
    """Speaks through the machine's sound player."""
    return Speaker(make_voice(), make_player())
