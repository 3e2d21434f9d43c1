"""A piece for the rack from typed words, read as the table reads them."""

from __future__ import annotations

from shopstep.model.rack import Answers, KeptPiece
from shopstep.storage.rack_csv import (
    parse_defects,
    parse_id,
    parse_note,
    parse_size,
    parse_stuff,
)
from shopstep.units import read_typed
from shopstep.wiring.problems import ExitCode, Problem


def read_piece(
    id_: str,
    material: str,
    length: str,
    width: str,
    thickness: str,
    defects: str,
    note: str,
    reclaimed: bool,
    answers: Answers,
) -> KeptPiece:
    """The piece that the words tell of; Problem in one sentence."""
    try:
        long = parse_size(read_typed(length), "length")
        return KeptPiece(
            id=parse_id(id_),
            stuff=parse_stuff(material),
            length=long,
            width=parse_size(read_typed(width), "width"),
            thickness=parse_size(read_typed(thickness), "thickness"),
            defects=parse_defects(read_typed(defects), long),
            note=parse_note(note),
            reclaimed=reclaimed,
            answers=answers,
        )
    except ValueError as problem:
        raise Problem(str(problem), ExitCode.USAGE) from None
