"""The rack as a table for a spreadsheet (CSV after RFC 4180), in and out without a loss.

Lengths are written exactly, with their units; any way that a person writes them is read. Imports
``model`` and ``units``.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from itertools import pairwise

from shopstep.model.rack import Answers, KeptPiece, Stuff
from shopstep.units import ZERO, Length, UnitError, parse_length, write_exact
from shopstep.words import say

NEEDED = ("length", "width", "thickness")
COLUMNS = (
    "id", "material", *NEEDED, "defects", "note", "reclaimed", "metal", "old_paint",
    "preservative", "damp",
)  # fmt: skip
"""``defects``: ``20 in..24 in; 50 in..52 in``; the last five: yes, no, or empty for not asked."""
_YES, _NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")
LONGEST_NOTE = 500


class CsvProblem(Exception):
    """A table that cannot be read: one sentence with the line."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


def write_rows(pieces: tuple[KeptPiece, ...]) -> str:
    """The table, with a heading; lines end as RFC 4180 has it."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for piece in pieces:
        found = piece.answers
        writer.writerow(
            [
                piece.id,
                piece.stuff.value,
                *(write_exact(n) for n in (piece.length, piece.width, piece.thickness)),
                write_defects(piece.defects),
                piece.note,
                "yes" if piece.reclaimed else "no",
                *map(_told, (found.metal, found.old_paint, found.preservative, found.damp)),
            ]
        )
    return out.getvalue()


def write_defects(defects: tuple[tuple[Length, Length], ...]) -> str:
    """ "20 in..24 in; 50 in..52 in"."""
    return "; ".join(f"{write_exact(begin)}..{write_exact(end)}" for begin, end in defects)


def _told(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"


def read_rows(text: str) -> Iterator[tuple[str, KeptPiece]]:
    """Each row as a piece, with where it stands; CsvProblem at the first that cannot be."""
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        names = [name.strip().lower() for name in next(reader, [])]
        _check_heading(names)
        seen: dict[str, int] = {}
        for row in reader:
            where = say("line {line_num}", line_num=reader.line_num)
            if not any(cell.strip() for cell in row):
                continue
            if len(row) > len(names):
                raise CsvProblem(
                    say(
                        "{where}: {row} cells for {names} columns",
                        where=where,
                        row=len(row),
                        names=len(names),
                    )
                )
            piece = _read_row(dict(zip(names, row, strict=False)), where)
            if piece.id in seen:
                raise CsvProblem(
                    say(
                        "{where}: {piece_id} stands in line {seen} already",
                        where=where,
                        piece_id=piece.id,
                        seen=seen[piece.id],
                    )
                )
            if piece.id:
                seen[piece.id] = reader.line_num
            yield where, piece
    except csv.Error as problem:
        raise CsvProblem(
            say(
                "line {line_num}: this is no CSV ({problem})",
                line_num=reader.line_num,
                problem=problem,
            )
        ) from None


def _check_heading(names: list[str]) -> None:
    for name in names:
        if name not in COLUMNS:
            near = get_close_matches(name, COLUMNS, n=1, cutoff=0.5)
            tail = (
                say("; did you mean '{near}'?", near=near[0])
                if near
                else say("; known: {columns}", columns=", ".join(COLUMNS))
            )
            raise CsvProblem(say("line 1: there is no column '{name}'{tail}", name=name, tail=tail))
        if names.count(name) > 1:
            raise CsvProblem(say("line 1: column '{name}' stands there twice", name=name))
    missing = [name for name in NEEDED if name not in names]
    if missing:
        raise CsvProblem(
            say(
                "line 1: column '{missing}' is missing; known: {columns}",
                missing=missing[0],
                columns=", ".join(COLUMNS),
            )
        )


def _read_row(row: Mapping[str, str], where: str) -> KeptPiece:
    cells = {name: cell.strip() for name, cell in row.items()}
    try:
        length, width, thickness = (parse_size(cells.get(name, ""), name) for name in NEEDED)
        return KeptPiece(
            id=parse_id(cells.get("id", "")),
            stuff=parse_stuff(cells.get("material", "")),
            length=length,
            width=width,
            thickness=thickness,
            defects=parse_defects(cells.get("defects", ""), length),
            note=parse_note(cells.get("note", "")),
            reclaimed=parse_yes(cells.get("reclaimed", ""), "reclaimed") or False,
            answers=Answers(
                *(parse_yes(cells.get(name, ""), name) for name in COLUMNS[-4:]),
            ),
        )
    except ValueError as problem:
        raise CsvProblem(f"{where}: {problem}") from None


def parse_size(text: str, name: str) -> Length:
    """A length above zero; ValueError in one sentence."""
    if not text:
        raise ValueError(say("{name} is empty; write for example 34 3/8 in", name=name))
    try:
        found = parse_length(text)
    except UnitError as problem:
        raise ValueError(f"{name}: {problem}") from None
    if found <= ZERO:
        raise ValueError(
            say("{name} is {text}; it must be more than nothing", name=name, text=text)
        )
    return found


def parse_id(text: str) -> str:
    """What is chalked on the piece, up to 20 signs; empty for the next number."""
    if len(text) > 20 or not all(letter.isalnum() or letter in "-_." for letter in text):
        raise ValueError(
            say("'{text}' is no id; use up to 20 letters, digits and hyphens: R12", text=text)
        )
    return text


def parse_stuff(text: str) -> Stuff:
    """What it is made of; wood where nothing is said."""
    try:
        return Stuff(text.lower() or "wood")
    except ValueError:
        known = ", ".join(stuff.value for stuff in Stuff)
        near = get_close_matches(text.lower(), [stuff.value for stuff in Stuff], n=1)
        tail = (
            say("; did you mean '{near}'?", near=near[0])
            if near
            else say("; known: {known}", known=known)
        )
        raise ValueError(say("there is no material '{text}'{tail}", text=text, tail=tail)) from None


def parse_defects(text: str, length: Length) -> tuple[tuple[Length, Length], ...]:
    """Zones along the length, in order; each lies on the piece, and none takes all of it."""
    zones = sorted(_parse_zone(part.strip(), length) for part in text.split(";") if part.strip())
    clear = length - sum((end - begin for begin, end in zones), ZERO)
    for (_, end), (begin, _) in pairwise(zones):
        if begin < end:
            raise ValueError(say("two defects of '{text}' overlap; write them as one", text=text))
    if clear <= ZERO:
        raise ValueError(say("the defects leave nothing of the piece"))
    return tuple(zones)


def _parse_zone(text: str, length: Length) -> tuple[Length, Length]:
    begin_text, dots, end_text = text.partition("..")
    if not dots:
        raise ValueError(say("'{text}' is no zone; write for example 20 in..24 in", text=text))
    try:
        begin, end = parse_length(begin_text), parse_length(end_text)
    except UnitError as problem:
        raise ValueError(say("defect '{text}': {problem}", text=text, problem=problem)) from None
    if not ZERO <= begin < end <= length:
        raise ValueError(
            say(
                "defect '{text}' does not lie on a piece of {exact}; begin, then end",
                text=text,
                exact=write_exact(length),
            )
        )
    return begin, end


def parse_note(text: str) -> str:
    """A note of one line."""
    if len(text) > LONGEST_NOTE:
        raise ValueError(
            say(
                "the note has {text} letters; {longest_note} is the most",
                text=len(text),
                longest_note=LONGEST_NOTE,
            )
        )
    return " ".join(text.split())


def parse_yes(text: str, name: str) -> bool | None:
    """Yes, no, or None for an empty cell."""
    if text.lower() in _YES:
        return True
    if text.lower() in _NO:
        return False
    if text:
        raise ValueError(say("{name} is '{text}'; write yes, no, or nothing", name=name, text=text))
    return None
