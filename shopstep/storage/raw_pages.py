"""Rows of a SQLite file read page by page, without its index: for a file that is damaged.

After https://www.sqlite.org/fileformat2.html, sections 1.6 (b-tree pages) and 2.1 (records). Every
leaf page of a table is looked at; what cannot be decoded is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

Value = int | float | str | bytes | None
Row = tuple[Value, ...]
_LEAF = 0x0D
_MAGIC = b"SQLite format 3\x00"
PAGE_SIZES = (4096, 1024, 2048, 8192, 16384, 32768, 65536, 512)


class _Broken(Exception):
    """This cell cannot be decoded."""


@dataclass(frozen=True, slots=True)
class _Pages:
    data: bytes
    size: int

    def page(self, number: int) -> bytes:
        """A page by its number, from 1."""
        begin = (number - 1) * self.size
        if number < 1 or begin >= len(self.data):
            raise _Broken
        return self.data[begin : begin + self.size]


def read_rows(data: bytes) -> Iterator[Row]:
    """Every row that can be decoded from any table's leaf page, in the order of the pages."""
    for size in _sizes(data):
        pages = _Pages(data, size)
        found = [row for n in range(1, -(-len(data) // size) + 1) for row in _rows_of(pages, n)]
        if found:
            yield from found
            return


def _sizes(data: bytes) -> tuple[int, ...]:
    """The page size that the head tells, or all of them where the head is gone."""
    told = int.from_bytes(data[16:18], "big")
    told = 65536 if told == 1 else told
    if data.startswith(_MAGIC) and told in PAGE_SIZES:
        return (told,)
    return PAGE_SIZES


def _rows_of(pages: _Pages, number: int) -> Iterator[Row]:
    try:
        page = pages.page(number)
        start = 100 if number == 1 else 0
        if page[start] != _LEAF:
            return
        cells = int.from_bytes(page[start + 3 : start + 5], "big")
        offsets = [
            int.from_bytes(page[start + 8 + 2 * n : start + 10 + 2 * n], "big")
            for n in range(min(cells, pages.size // 4))
        ]
    except (_Broken, IndexError):
        return
    for offset in offsets:
        try:
            yield _decode(_payload(pages, page, offset))
        except (_Broken, IndexError, UnicodeDecodeError, ValueError):
            continue


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where the next thing begins."""
    value = 0
    for n in range(9):
        byte = data[at + n]
        if n == 8:
            return (value << 8) | byte, at + 9
        value = (value << 7) | (byte & 0x7F)
        if byte < 0x80:
            return value, at + n + 1
    raise _Broken


def _payload(pages: _Pages, page: bytes, offset: int) -> bytes:
    """A cell's payload with what lies on its overflow pages."""
    length, at = _varint(page, offset)
    _, at = _varint(page, at)
    usable = pages.size
    if length > len(pages.data):
        raise _Broken
    most = usable - 35
    if length <= most:
        return page[at : at + length]
    least = (usable - 12) * 32 // 255 - 23
    local = least + (length - least) % (usable - 4)
    local = local if local <= most else least
    found = bytearray(page[at : at + local])
    following = int.from_bytes(page[at + local : at + local + 4], "big")
    seen: set[int] = set()
    while len(found) < length:
        if following in seen:
            raise _Broken
        seen.add(following)
        more = pages.page(following)
        found += more[4 : 4 + min(usable - 4, length - len(found))]
        following = int.from_bytes(more[:4], "big")
    return bytes(found)


def _decode(payload: bytes) -> Row:
    """The values of a record."""
    head, at = _varint(payload, 0)
    if head > len(payload):
        raise _Broken
    types = []
    while at < head:
        kind, at = _varint(payload, at)
        types.append(kind)
    values: list[Value] = []
    for kind in types:
        value, at = _value(payload, at, kind)
        values.append(value)
    if at != len(payload):
        raise _Broken
    return tuple(values)


_WHOLE = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


def _value(payload: bytes, at: int, kind: int) -> tuple[Value, int]:
    import struct

    if kind == 0:
        return None, at
    if kind in _WHOLE:
        end = at + _WHOLE[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind == 7:
        return float(struct.unpack(">d", payload[at : at + 8])[0]), at + 8
    if kind in (8, 9):
        return kind - 8, at
    if kind < 12:
        raise _Broken
    end = at + (kind - 12) // 2
    if end > len(payload):
        raise _Broken
    raw = payload[at:end]
    return (raw.decode("utf-8") if kind % 2 else raw), end
