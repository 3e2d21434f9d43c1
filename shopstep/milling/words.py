"""The words of a milling step: headline, sentence, why, numbers and check.

A sentence says the lead of its kind of work, how the parts lie, and each part with its count.
Imports ``shopstep.model``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from shopstep.milling.clauses import feature_of, own_clauses, work_out
from shopstep.milling.drafts import SHAPING_SIZE, SHORT
from shopstep.milling.fingers import count_cuts
from shopstep.milling.wordings import WORDINGS, say_setting
from shopstep.model.feature import Fingers, Holes
from shopstep.model.joint import Joint
from shopstep.model.operation import Operation, Setup
from shopstep.model.part import Hand, Part
from shopstep.model.step import Check, Number
from shopstep.units import ZERO, format_length
from shopstep.words import say, to_say

CLAUSE = "; "
"""Stands between the clauses of an operation's note."""

FROM_BOARD = to_say("from ")
"""Stands before a board's letter where it is told of all parts at once."""

LONGEST = 260
"""Characters of a sentence that can be read in large type from two steps away."""

Owner = tuple[str, Hand | None]
"""A part by its name and hand."""


@dataclass(frozen=True, slots=True)
class Telling:
    """What a step's words depend on besides the setup and its parts."""

    display: str
    letters: Mapping[Owner, str] = field(default_factory=dict)
    """On which boards a part is: "A", "A, B"; nothing where it is on too many to tell."""
    before: Setup | None = None
    """The setup that this one follows with the guard still off."""
    hands_apart: bool = True
    """Left and right are told each with its count, also where they lie alike."""
    brief: bool = False
    """What the cards and the numbers say as well is left out."""
    joints: tuple[Joint, ...] = ()
    """What goes into the channels: its width is tried in scrap."""
    spares: Mapping[Owner, int] = field(default_factory=dict)
    """How many spare blanks there are of a part."""


def make_title(setup: Setup, parts: Iterable[Part], display: str) -> str:
    """Short headline with a verb."""
    told = work_out(setup, tuple(parts), display, None)
    return say(WORDINGS[setup.kind].title, **told)


def make_why(setup: Setup, parts: Iterable[Part], display: str) -> str:
    """Why it is done so."""
    return say(WORDINGS[setup.kind].why, **work_out(setup, tuple(parts), display, None))


def make_text(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part], telling: Telling
) -> str:
    """The full sentence; ``parts`` is keyed by operation id.

    Where it is too long, first the letters of the boards go, then left and right are counted
    together where they lie alike, then what the cards and numbers say as well.
    """
    plain = replace(telling, letters={})
    together = replace(plain, hands_apart=False)
    text = ""
    for told in (telling, plain, together, replace(together, brief=True)):
        text = _compose(setup, operations, parts, told)
        if len(text) <= LONGEST:
            break
    return text


def _compose(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part], telling: Telling
) -> str:
    wording = WORDINGS[setup.kind]
    owners = tuple(parts.values())
    told = work_out(setup, owners, telling.display, telling.before, telling.brief)
    clauses = {op.id: _clauses(op, parts[op.id], telling) for op in operations}
    shared = _shared(list(clauses.values()))
    names = _call_parts(operations, parts, telling, clauses)
    own = {op.id: tuple(c for c in clauses[op.id] if c not in shared) for op in operations}
    told_of: dict[tuple[str, tuple[str, ...]], list[Operation]] = {}
    for op in operations:
        told_of.setdefault((names[op.id], own[op.id]), []).append(op)
    listed = ", ".join(
        _say_pieces(count_pieces(ops), name, said) for (name, said), ops in told_of.items()
    )
    lying = ", ".join(shared) or say(wording.verb)
    lead, tail = say(wording.lead, **told), say(wording.tail, **told)
    return f"{lead} {lying[0].upper()}{lying[1:]}: {listed}.{tail}"


def _clauses(operation: Operation, part: Part, telling: Telling) -> list[str]:
    """How it lies, what it is cut from, and which letter the board has."""
    noted = operation.note.split(CLAUSE) if operation.note else []
    letters = telling.letters.get((part.name, part.hand), "")
    is_chosen = operation.kind == "sheet_cut" or WORDINGS[operation.kind].with_length
    traced = [f"{say(FROM_BOARD)}{letters}"] if letters and is_chosen else []
    return [*noted, *own_clauses(operation, part, telling.display), *traced]


def _shared(notes: list[list[str]]) -> list[str]:
    """What is to be said of all operations alike, so that it is told once."""
    return [clause for clause in notes[0] if all(clause in note for note in notes)]


def _call_parts(
    operations: tuple[Operation, ...],
    parts: Mapping[str, Part],
    telling: Telling,
    clauses: Mapping[str, list[str]],
) -> dict[str, str]:
    """What each part is called: by its mark alone where both hands of one part are in hand.

    Hands are told together only where both are in hand and lie alike.
    """
    owners = {(part.name, part.hand) for part in parts.values()}
    both = {name for name, _ in owners if {(name, hand) for hand in Hand} <= owners}
    lying = {name: {tuple(clauses[o.id]) for o in operations if o.part == name} for name in both}
    alike = {name for name, ways in lying.items() if len(ways) == 1 and not telling.hands_apart}
    if both and len(owners) == 2 and not alike and operations[0].kind not in SHAPING_SIZE:
        return {op.id: str(op.hand)[0].upper() for op in operations}
    return {op.id: _call_part(op, parts[op.id], telling, op.part in alike) for op in operations}


def _call_part(operation: Operation, part: Part, telling: Telling, together: bool) -> str:
    """Its length is told to choose the stock by, if it does not come from a longer stick."""
    called = part.title if together else part.label
    if not WORDINGS[operation.kind].with_length or part.length < SHORT:
        return called
    return f"{called} {format_length(part.length, telling.display)}"


def _say_pieces(count: int, name: str, own: tuple[str, ...]) -> str:
    said = f"{count} × {name}"
    return f"{said} ({', '.join(c.removeprefix(say(FROM_BOARD)) for c in own)})" if own else said


def count_pieces(operations: Iterable[Operation]) -> int:
    """How many pieces are in hand: one that is cut at both ends counts once."""
    return sum({(op.part, op.hand): op.count for op in operations}.values())


def make_checks(setup: Setup, parts: Iterable[Part], display: str) -> tuple[Check, ...]:
    """A yes-or-no check of the first cut, where there is something to look at."""
    question = WORDINGS[setup.kind].check
    if not question:
        return ()
    text = say(question, **work_out(setup, tuple(parts), display, None))
    return (Check("first_cut", text, None, ZERO),)


def piece_number(count: int) -> Number:
    """How many pieces, in the singular where it is one."""
    return Number(to_say("piece") if count == 1 else to_say("pieces"), count)


def make_numbers(
    setup: Setup, operations: tuple[Operation, ...], parts: Mapping[str, Part]
) -> tuple[Number, ...]:
    """The settings as they are told to people, how many pieces, and of holes how many in each."""
    told = tuple(Number(say_setting(setup.kind, s.name), s.value) for s in setup.settings)
    pieces, cuts = count_pieces(operations), sum(operation.count for operation in operations)
    each = (Number(to_say("cuts"), cuts),) if cuts != pieces else ()
    slots = _count_slots(operations, parts)
    return (*told, piece_number(pieces), *each, *slots, *_count_holes(operations, parts))


def _count_slots(
    operations: tuple[Operation, ...], parts: Mapping[str, Part]
) -> tuple[Number, ...]:
    slots = sum(
        op.count * count_cuts(parts[op.id], feature)
        for op in operations
        if isinstance(feature := feature_of(op, parts[op.id]), Fingers)
    )
    return (Number(to_say("slots in all"), slots),) if slots else ()


def _count_holes(
    operations: tuple[Operation, ...], parts: Mapping[str, Part]
) -> tuple[Number, ...]:
    rows = [
        (operation.count, feature.count)
        for operation in operations
        for feature in parts[operation.id].features
        if isinstance(feature, Holes) and operation.id.endswith(f"/{feature.name}")
    ]
    each = {holes for _, holes in rows}
    if len(each) == 1:
        return (Number(to_say("holes in each"), each.pop()),)
    return (Number(to_say("holes in all"), sum(n * holes for n, holes in rows)),) if rows else ()
