"""Reading a text file with a sentence for everything that can go wrong."""

from __future__ import annotations

from pathlib import Path

from shopstep.model.plan import BuildFileError, Where
from shopstep.words import figure, say

LARGEST_BYTES = 1_000_000


def read_text(path: Path, what: str) -> str:
    """The file's text (UTF-8). BuildFileError names the file and what would be right."""
    where = Where(str(path), 0, what)
    try:
        if path.is_dir():
            raise BuildFileError(say("{what} is a folder; name a file in it", what=what), where)
        if path.stat().st_size > LARGEST_BYTES:
            raise BuildFileError(
                say(
                    "{what} has {st_size} bytes; {largest_bytes} is the most",
                    what=what,
                    st_size=figure(path.stat().st_size, ","),
                    largest_bytes=figure(LARGEST_BYTES, ","),
                ),
                where,
            )
        if not path.is_file():
            raise BuildFileError(say("{what} is no ordinary file", what=what), where)
        data = path.read_bytes()
    except FileNotFoundError:
        raise BuildFileError(say("{what} is not there", what=what), where) from None
    except OSError as problem:
        raise BuildFileError(
            say("{what} cannot be read: {strerror}", what=what, strerror=problem.strerror), where
        ) from None
    return decode_text(data, what, where)


def decode_text(data: bytes, what: str, where: Where) -> str:
    """UTF-8 text from bytes; the line of the first byte that is none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise BuildFileError(
            say("{what} is no UTF-8 text; save it as UTF-8", what=what),
            Where(where.file, line, where.name),
        ) from None
