"""Short codes that find a unit's log again in later years. Pure.

A code follows from the session's own id, which stands in its file and never changes, so it is the
same wherever the file is copied to. Imports nothing of the project.
"""

from __future__ import annotations

from hashlib import sha256

ALPHABET = "CDFHJKMNPRTX347"
"""Letters and figures that are not taken for one another in pencil or upside down (no 0 O Q, 1 I L,
2 Z, 5 S, 6 G 9, 8 B, U V Y, M's twin W), and no vowel, so that no word comes out (our rule)."""
PLACES = 5
"""15 to the fifth is 759,375 codes: of 500 units two share one with odds of 1 in 7, and then both
are shown."""


def code_of(session: str, unit: int) -> str:
    """The code of a unit (1, 2, 3…) of the session with that id."""
    number = int.from_bytes(sha256(f"{session}/{unit}".encode()).digest()[:8])
    signs = []
    for _ in range(PLACES):
        number, place = divmod(number, len(ALPHABET))
        signs.append(ALPHABET[place])
    return "".join(signs)


def as_code(typed: str) -> str:
    """What was typed, as codes are written: large letters, without spaces and dashes."""
    return "".join(sign for sign in typed.upper() if sign not in " -·.")
