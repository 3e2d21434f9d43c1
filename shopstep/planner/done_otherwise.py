"""What is done already and would be done otherwise today: told, with what to do about it.

Imports milling, ``model`` and the cut parts of this room.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from shopstep.milling.lots import LOT
from shopstep.milling.rough import name_boards, say_by_board
from shopstep.model.bench import DONE_OTHERWISE
from shopstep.model.feature import Feature
from shopstep.model.naming import BUILD_MARK
from shopstep.model.part import Part
from shopstep.model.plan import Finding, Level, Plan, Where
from shopstep.model.step import StepKind
from shopstep.model.stock import StockPiece
from shopstep.planner.cutting import CutPart, find_cut
from shopstep.planner.settling import is_rough_cut
from shopstep.units import Length, format_length
from shopstep.words import say


def tell_rough_lengths(
    pieces: tuple[StockPiece, ...],
    done: frozenset[str],
    display: str,
    sheets: frozenset[str] = frozenset(),
) -> tuple[Finding, ...]:
    """Boards, or pieces of ``sheets`` (ids of materials), that the batch needs since the rough cut
    of their material: no card cuts them up."""
    names = name_boards(pieces)
    told = [_tell_late(piece, names, display) for piece in pieces if piece.late]
    for material in dict.fromkeys(piece.material for piece in pieces if piece.is_added):
        if not is_rough_cut(material, done):
            continue
        added = [piece for piece in pieces if piece.is_added and piece.material == material]
        sawn = tuple(board for board in added if board.sections)
        more = [say_by_board(sawn, names, display)] if sawn else []
        more += [
            say("{names} as it is", names=names[board.id]) for board in added if not board.sections
        ]
        words = material.replace("_", " ").replace(BUILD_MARK, ", ")
        what, care = say("rough lengths"), say(", an edge straight on each")
        if material in sheets:
            what, care = say(say("sections")), ""
        text = say(
            "The {what} of {words} are cut, and not all parts as they are wanted now come "
            "out of them. Take besides, with the cautions of the saws{care}: {more}.",
            what=what,
            words=words,
            care=care,
            more="; ".join(more),
        )
        told.append(_finding(text, material))
    return tuple(told)


def _tell_late(piece: StockPiece, names: Mapping[str, str], display: str) -> Finding:
    """A rough board that came after the batch had been at the planer."""
    thick = format_length(piece.planed_from, display)
    ends = (
        say(", then take {snipe} off each end", snipe=format_length(piece.snipe, display))
        if piece.snipe
        else ""
    )
    return _finding(
        say(
            "{get} comes {thick} thick, and the others are planed. Plane it "
            "as thick as they are, whole, with the cautions of the planer{ends}; no step does it.",
            get=names.get(piece.id, piece.id),
            thick=thick,
            ends=ends,
        ),
        piece.material,
    )


def tell_done_steps(
    before: Plan, done: frozenset[str], kinds: Iterable[StepKind]
) -> tuple[Finding, ...]:
    """Steps of the build file that are done, where their words hold other lengths now."""
    stood = {kind.id: kind for kind in before.kinds}
    finished = {step.kind for step in before.steps if step.id in done}
    told = []
    for kind in kinds:
        if kind.id not in finished:
            continue
        was, now = (
            [
                format_length(n.value, before.display)
                for n in k.numbers
                if isinstance(n.value, Length)
            ]
            for k in (stood[kind.id], kind)
        )
        pairs = list(dict.fromkeys((a, b) for a, b in zip(was, now, strict=False) if a != b))
        if len(was) == len(now) and pairs:
            said = ", ".join(say("{b} in place of {a}", b=b, a=a) for a, b in pairs)
            text = say(
                "'{kind_title}' is done, and would now take {said}: look at it again.",
                kind_title=kind.title,
                said=said,
            )
            told.append(_finding(text, kind.id))
    return tuple(told)


def tell_lots(before: Plan, done: frozenset[str], kinds: Iterable[StepKind]) -> tuple[Finding, ...]:
    """Lots that are done and would now end at another piece: the next one begins elsewhere."""
    stood = {kind.id: kind for kind in before.kinds}
    finished = {step.kind for step in before.steps if step.id in done}
    told = []
    for kind in kinds:
        if LOT not in kind.id or kind.id not in finished:
            continue
        was, now = _last_piece(stood[kind.id]), _last_piece(kind)
        if was is not None and now is not None and was != now:
            first, last = min(was, now) + 1, max(was, now)
            said = (
                say("are on no card, so cut them")
                if now > was
                else say("are cut, so leave them out")
            )
            text = say(
                "'{kind_title}' is done to piece {was}: pieces {first}",
                kind_title=kind.title,
                was=was,
                first=first,
            )
            told.append(
                _finding(
                    say(
                        "{text} to {last} {said} with the next lot.",
                        text=text,
                        last=last,
                        said=said,
                    ),
                    kind.id,
                )
            )
    return tuple(told)


def _last_piece(kind: StepKind) -> int | None:
    ends = (n.value for n in kind.numbers if n.label == "to piece" and isinstance(n.value, int))
    return next(ends, None)


def tell_cut_parts(
    before: Plan, done: frozenset[str], wanted: Iterable[Part]
) -> tuple[Finding, ...]:
    """Cut parts that are wanted of another material, more often, or with other features."""
    cut = find_cut(before, done)
    told = dict.fromkeys(
        _finding(text, part.name)
        for part in wanted
        if (part.name, part.hand) in cut
        for text in _differences(cut[part.name, part.hand], part)
    )
    return tuple(told)


def _differences(was: CutPart, new: Part) -> Iterator[str]:
    old = was.part
    again = say("make it again, or keep the build file as it was.")
    if old.material != new.material:
        made_of, now = (part.material.replace("_", " ") for part in (old, new))
        yield say(
            "The {old_title} is cut from {made_of}, and {now} is wanted: {again}",
            old_title=old.title,
            made_of=made_of,
            now=now,
            again=again,
        )
    if new.count_unit > old.count_unit:
        yield (
            say(
                "The {old_title} is cut {count_unit} times for each unit, and {count_unit_2} "
                "are wanted: no step cuts the missing ones, so cut them like the others.",
                old_title=old.title,
                count_unit=old.count_unit,
                count_unit_2=new.count_unit,
            )
        )
    features = {feature.name: feature for feature in old.features}
    for feature in new.features:
        before = features.get(feature.name)
        if before is not None and feature.name in was.features and _is_other(before, feature):
            name = feature.name.replace("_", " ")
            yield say(
                "The {name} in the {old_title} is cut, and is wanted otherwise: {again}",
                name=name,
                old_title=old.title,
                again=again,
            )


def _is_other(old: Feature, new: Feature) -> bool:
    """Whether a face, an edge or a count differs; lengths are held against each other elsewhere."""
    return type(old) is not type(new) or any(
        getattr(old, name) != getattr(new, name)
        for name in type(old).__dataclass_fields__
        if isinstance(getattr(old, name), str | int)
    )


def _finding(text: str, name: str) -> Finding:
    return Finding(Level.WARN, DONE_OTHERWISE, text, Where(name=name), "")
