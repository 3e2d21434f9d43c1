"""What sounds nearly like a phrase: one of its words put in place by another common one.

These stand against a phrase that was found: "mark it down" has to fit worse than "mark it done",
or it was that which was said. Imports ``vocabulary_check``.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from shopstep.voice.vocabulary_check import phone_distance

_COMMON = """
a about above after again age air all alone along also an and another any are arm around ask at
away baby bad bag ball band bark barn bat bath be bear beat because bed been before behind being
below best better big bit black blue board boat body book both bottom box boy bread break bring
brown bus but butter buy by cake call came can car card care case cat catch cause chair change
child clean close cloud coat cold come cool could count cow crane cream cup cut dad damn dark day
deep deer dog don't door down draw dream drink drive drop dry dump dust each ear early eat egg end
even ever every eye face fact fair fall family far farm fast father feel feet fell few field fight
fill find fine fire first fish five floor flow fly food foot for four free fresh friend from front
full fun game garden gate gave get girl give glad glass go goes going gold gone good got great
green grow had hair half hand hang happy hard has hat have he head hear heard heart heat heavy held
help hen her here high hill him his hit hole home hope horse hot hour house how hut ice idea if
ill in inside is it its jam job join jump june just keep kept key kind king knew know lad lamp land
large last late laugh lead leaf learn least leg less let letter lift light like line list listen
little live load loan lock lone long look loose lost lot loud love low luck lumber lunch made make
man many map march mark market match may me mean measure meat men milk mind mine miss moon more
most mother mouth move much mud music must my name near neck need never new next nice night no
north nose not note nothing now nuts of off often oil old on once one open or other our out over
own page paint pair paper park part pass past path pay people pet pick picture piece pig place
plan play pleased point pole poor pot pound pull push put quick quite rain ran reach read ready
real red remember rest rich ride ring road rock roll room root rope round row rub run sad safe said
sail salt same sand save saw say school sea season seat see seed seem sell send set seven shall
shape she sheep shelf ship shirt shoe shop short should show shut side sign silver since sing sit
six size skin sky slow small smile snow so soap soft soil some son soon sort sound soup south
speak spring stage stand star stay steel stem step stick still stone stood stop store storm story
straight street strong such sugar summer sun sure table tail take talk tall tea teach tell ten
than that the their them then there these they thick thing think this those thought thread three
threw through throw tie time tin tired to together told too took tool top touch town toy track
tree trip truck true try turn twelve two under until up us use very voice wait walk wall want warm
was wash watch water way we wear week well went were west wet what wheel when where which while
white who whole why wide wife wild will wind winter wish with without wood word work world would
write wrong yard year yellow yes yet you young your
"""
"""Words that people say all day; common practice, no source."""
LEAST, MOST = 0.12, 0.62
"""Nearer ones are the same word in another mouth, farther ones are told apart anyhow."""
COUNT = 6
"""Words that stand against each word of a phrase."""
Sounds = Callable[[str], tuple[str, ...]]


@lru_cache(maxsize=500)
def near_words(word: str, sounds: Sounds) -> tuple[str, ...]:
    """The nearest common words that are not this one."""
    said = [tuple(phones.split()) for phones in sounds(word)]
    found: list[tuple[float, str]] = []
    for other in _COMMON.split():
        ways = [tuple(phones.split()) for phones in sounds(other)]
        if not ways or not said or other == word:
            continue
        apart = min(phone_distance(one, two) for one in said for two in ways)
        if LEAST <= apart <= MOST:
            found.append((apart, other))
    return tuple(other for _, other in sorted(found)[:COUNT])


def near_misses(phrase: str, sounds: Sounds) -> tuple[str, ...]:
    """The phrase with each of its words in turn put in place by those that sound like it; in the
    recogniser's form. Empty for a phrase with a number in it."""
    words = phrase.split()
    found = []
    for place, word in enumerate(words):
        others = near_words(word, sounds)
        if others:
            changed = [*words[:place], f"({' | '.join(others)})", *words[place + 1 :]]
            found.append(" ".join(changed))
    return tuple(found)
