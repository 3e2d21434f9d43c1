"""Reading a text file with a sentence for everything that can go wrong."""

from __future__ import annotations

from pathlib import Path

from shopstep.model.plan import BuildFileError, Where

LARGEST_BYTES = 1_000_000


def read_text(path: Path, what: str) -> str:
    """The file's text (UTF-8). BuildFileError names the file and what would be right."""
    where = Where(str(path), 0, what)
    try:
        if path.is_dir():
            raise BuildFileError(f"{what} is a folder; name a file in it", where)
        if path.stat().st_size > LARGEST_BYTES:
            raise BuildFileError(
                f"{what} has {path.stat().st_size:,} bytes; {LARGEST_BYTES:,} is the most", where
            )
        if not path.is_file():
            raise BuildFileError(f"{what} is no ordinary file", where)
        data = path.read_bytes()
    except FileNotFoundError:
        raise BuildFileError(f"{what} is not there", where) from None
    except OSError as problem:
        raise BuildFileError(f"{what} cannot be read: {problem.strerror}", where) from None
    return decode_text(data, what, where)


def decode_text(data: bytes, what: str, where: Where) -> str:
    """UTF-8 text from bytes; the line of the first byte that is none."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise BuildFileError(
            f"{what} is no UTF-8 text; save it as UTF-8", Where(where.file, line, where.name)
        ) from None
