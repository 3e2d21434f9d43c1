"""What people type as numbers: what is wrong with it, in a sentence, and the place's decimal mark.

Imports the words alone. Loaded by ``units`` where something is wrong, and by who reads a person's
own typing. Files keep the point everywhere and do not come through here.
"""

from __future__ import annotations

import re

from shopstep.words import manner, say

RULE_DENOMINATORS = (1, 2, 4, 8, 16, 32, 64, 128)
"""What a rule, or half of its finest mark, is divided by."""
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)|(?<![\d.]),(?=\d)")
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}[.,]\d{3}(?![\d.,])")
_TWO_MARKS = re.compile(r"\d*[.,]\d+[.,]\d+")


def read_decimals(text: str) -> str:
    """The text with decimals after a point, as all that parses numbers wants it.

    Where the place writes a point this is the text itself. Where it writes a comma, "12,5 mm" is
    12.5 mm and a point is read too; what could be thousands as well raises ValueError with a
    sentence.
    """
    if manner().point != ",":
        return text
    doubt = _TWO_MARKS.search(text) or _THOUSANDS.search(text)
    if doubt:
        bare = re.sub(r"[.,]", "", doubt[0])
        raise ValueError(
            say(
                "'{number}' could be thousands or decimals; write whole numbers without a mark "
                "({bare}), and other than three decimals after the comma ({number}0)",
                number=doubt[0],
                bare=bare,
            )
        )
    return _DECIMAL_COMMA.sub(".", text)


def why_no_fraction(text: str, number: str) -> str:
    """What is wrong with a fraction that no rule shows: more than a whole, or not halved; empty
    where it is right."""
    whole, slash, below = number.rpartition("/")
    if not slash or int(below) == 0:
        return ""
    if int(below) not in RULE_DENOMINATORS:
        return say(
            "'{text}': no rule is divided by {below}; write halves down to 128ths, or decimals",
            text=text,
            below=below,
        )
    mixed = whole.split()
    if len(mixed) == 2 and int(mixed[1]) >= int(below):
        return say(
            "'{text}': {above}/{below} is more than a whole; write it out",
            text=text,
            above=mixed[1],
            below=below,
        )
    return ""


def why_no_length(text: str, plain: str, is_bare: bool) -> str:
    """What is wrong with a text that is no length."""
    if not plain:
        return say("a length is missing; write for example 14 3/8 in or 365.1 mm")
    if is_bare:
        return say(
            "'{text}' has no unit; write '{plain} in' or '{plain} mm'", text=text, plain=plain
        )
    if "," in plain:
        return say(
            "'{text}' has a comma; write decimals with a point, for example 412.8 mm", text=text
        )
    return say("'{text}' is no length; write for example 14 3/8 in, 3/4 in or 365.1 mm", text=text)
