"""What a person did wrong where a build file is not YAML, and the line where it was done.

The parser names tokens and stops where it noticed; a person wants to know which line to change,
and into what. Where none of the usual slips is seen, the parser's own words are kept.
"""

from __future__ import annotations

from typing import Any

from shopstep.words import say, to_say

_REMEDIES = to_say(
    {
        "mapping values": "; put words that hold a colon into quotes",
        "another document": "; a build file is one document, take the '---' out",
        "undefined alias": "; build files do without '*', write the value out",
        "cannot start any token": "; put words that begin with this sign into quotes",
        "sequence entries": "; write a list in brackets, [one, two], or on lines of its own",
    }
)


def say_fault(text: str, problem: Any) -> tuple[int, str]:
    """The line (from 1) and the sentence for a YAML error with marks (``MarkedYAMLError``)."""
    mark = problem.problem_mark or problem.context_mark
    said = str(problem.problem or problem.context)
    if mark is None:
        return 1, _plain(said)
    begun = problem.context_mark or mark
    lines = text.split("\n")
    found = (
        _no_colon(lines, said, mark, begun)
        or _in_brackets(text, said, mark, begun)
        or _badly_indented(lines, said, mark)
        or _after_value(lines, said, mark)
    )
    return found or (mark.line + 1, _plain(said))


def _plain(said: str) -> str:
    remedy = next((say(remedy) for words, remedy in _REMEDIES.items() if words in said), "")
    return say("not readable as YAML: {said}{remedy}", said=said, remedy=remedy)


def _no_colon(lines: list[str], said: str, mark: Any, begun: Any) -> tuple[int, str] | None:
    """A name alone in its line: the parser goes on to the next colon, one line too far."""
    if "could not find expected ':'" in said:
        at: int | None = begun.line
    elif "mapping values" in said and _first_colon(_line(lines, mark.line)) == mark.column:
        at = _above(lines, mark.line)
    else:
        return None
    word = _line(lines, at).strip() if at is not None else ""
    if at is None or not word or ":" in word or word.startswith("-"):
        return None
    return at + 1, say("'{word}' has no colon; write '{word}:'", word=word)


def _in_brackets(text: str, said: str, mark: Any, begun: Any) -> tuple[int, str] | None:
    """What is left open is told where it opens; else a comma or quotes are what is missing."""
    if "unexpected end of stream" in said:
        return begun.line + 1, say("the quote that opens here is not closed")
    if "expected ',' or" not in said:
        return None
    if _line(text.split("\n"), begun.line).count('"') % 2:
        return begun.line + 1, say("a quote in this line is not closed")
    if any(text.count(a) > text.count(b) for a, b in ("[]", "{}")):
        return begun.line + 1, say("the bracket that opens here is not closed")
    return mark.line + 1, say(
        "{said} cannot stand here: put a comma between two entries, and words that hold a"
        " colon, a comma or a bracket into quotes",
        said=say("this") if "<" in said else said.rsplit("got ", 1)[-1],
    )


def _badly_indented(lines: list[str], said: str, mark: Any) -> tuple[int, str] | None:
    """A line that begins with more or fewer spaces than any that it could belong to."""
    if not any(
        words in said for words in ("<block end>", "<document start>", "mapping values")
    ) or _line(lines, mark.line).lstrip().startswith("- "):
        return None
    line = _line(lines, mark.line)
    found = len(line) - len(line.lstrip())
    begins = mark.column == (_first_colon(line) if "mapping values" in said else found)
    right = _indents_above(lines, mark.line)
    if not begins or not right or found in right:
        return None
    return mark.line + 1, say(
        "spaces before this line: {found}; right would be {right}, for what belongs together"
        " begins exactly below each other",
        found=found,
        right=_one_of(right),
    )


def _after_value(lines: list[str], said: str, mark: Any) -> tuple[int, str] | None:
    """Something behind a closed quote or bracket, or a list among 'name: value' lines."""
    if "<block end>" not in said:
        return None
    rest = _line(lines, mark.line)[mark.column :].strip()
    if said.endswith("'-'"):
        sentence = say("'- ' begins a list, and 'name: value' lines stand here; take it out")
    elif said.endswith("'?'"):
        sentence = say("lines with '- ' stand above, and here a 'name: value' line; indent it less")
    elif rest[:1] in ("]", "}"):
        sentence = say("'{rest}' closes a bracket that is not open; take it out", rest=rest[0])
    elif rest and mark.column > 0:
        sentence = say("'{rest}' is too much here; quotes go around the whole value", rest=rest)
    else:
        return None
    return mark.line + 1, sentence


def _one_of(numbers: list[int]) -> str:
    *some, last = map(str, numbers)
    return say("{some} or {last}", some=", ".join(some), last=last) if some else last


def _indents_above(lines: list[str], number: int) -> list[int]:
    """How far the lines above are indented that this one could stand below, deepest first."""
    found: list[int] = []
    for line in reversed(lines[:number]):
        words = line.lstrip()
        if not words or words.startswith("#"):
            continue
        indent = len(line) - len(words)
        if not found or indent < found[-1]:
            found.append(indent)
    return found


def _above(lines: list[str], number: int) -> int | None:
    """The nearest line above in which something stands."""
    return next((at for at in range(number - 1, -1, -1) if _line(lines, at).strip()), None)


def _line(lines: list[str], number: int) -> str:
    return lines[number] if number < len(lines) else ""


def _first_colon(line: str) -> int:
    return line.find(":")
