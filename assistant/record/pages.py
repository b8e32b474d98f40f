"""Days and rows read off the pages of a record's file, without the way that leads to them.

Each page that holds rows says by itself where they are, so one that is damaged loses only its own,
also where it is the first of the file or one that points to others. The layout is that of "Database
File Format", https://www.sqlite.org/fileformat2.html, sections 1.5 and 1.6 (pages and cells), 2.1
(records) and 4.1 (the write-ahead log).
"""

import struct
from collections.abc import Iterator

from assistant.record.salvage import Salvage

MAGIC = b"SQLite format 3\x00"
USUAL_SIZE = 4096
SIZES = tuple(2**power for power in range(9, 17))

TABLE_LEAF, INDEX_LEAF, INDEX_INTERIOR = 0x0D, 0x0A, 0x02
HEADER_BYTES = {TABLE_LEAF: 8, INDEX_LEAF: 8, INDEX_INTERIOR: 12}

LOG_HEADER, FRAME_HEADER = 32, 24

LONGEST = 2**20
"""Bytes of a row; a damaged length could make a circle of pages go on for ever."""

Value = int | float | str | bytes | None


def read_pages(file: bytes, log: bytes, salvage: Salvage) -> None:
    """Take every day and row on a page of ``file`` or of its write-ahead ``log``, newest first."""
    for size in _sizes(file):
        pages = _Pages(file, log, size)
        for page, first in pages.newest_first():
            for cell in _cells(page, first):
                pages.take(page[100 if first else 0], page, cell, salvage)
        if salvage:
            return


def _sizes(file: bytes) -> tuple[int, ...]:
    """The sizes a page may have, the likeliest first; one where the file says which."""
    stated = int.from_bytes(file[16:18], "big")
    stated = 65536 if stated == 1 else stated
    if file.startswith(MAGIC) and stated in SIZES:
        return (stated,)
    return (USUAL_SIZE, *(size for size in SIZES if size != USUAL_SIZE))


class _Pages:
    """The pages of a file, with those of its log in the place of the older ones."""

    def __init__(self, file: bytes, log: bytes, size: int) -> None:
        self._size = size
        self._pages = {
            start // size + 1: file[start : start + size].ljust(size, b"\x00")
            for start in range(0, len(file), size)
        }
        self._first_pages = list(self._pages.items())
        self._logged: list[tuple[int, bytes]] = []
        for start in range(LOG_HEADER, len(log), FRAME_HEADER + size):
            page = log[start + FRAME_HEADER : start + FRAME_HEADER + size]
            number = int.from_bytes(log[start : start + 4], "big")
            self._logged.append((number, page.ljust(size, b"\x00")))
        self._pages.update(self._logged)

    def newest_first(self) -> Iterator[tuple[bytes, bool]]:
        """Every page there is, and whether it is the first of the file, which begins otherwise."""
        for number, page in (*reversed(self._logged), *self._first_pages):
            yield page, number == 1

    def take(self, kind: int, page: bytes, cell: int, salvage: Salvage) -> None:
        """What the cell at this place of a page of this kind holds, if it is a row of ours."""
        try:
            key, values = self._record(kind, page, cell)
        except (IndexError, KeyError, ValueError, struct.error):
            return
        if key is None and len(values) == 6:
            salvage.take_row(*values)
        elif key is not None and len(values) == 6 and values[0] is None:
            salvage.take_head(key, *values[1:])
        elif key is not None and len(values) == 3 and values[0] is None:
            salvage.take_learned(key, values[2])

    def _record(self, kind: int, page: bytes, cell: int) -> tuple[int | None, list[Value]]:
        """The key of a table's row, or None for one without, and its columns."""
        place = cell + 4 if kind == INDEX_INTERIOR else cell
        length, place = _varint(page, place)
        key = None
        if kind == TABLE_LEAF:
            key, place = _varint(page, place)
        local = self._local(length, kind)
        payload = page[place : place + local]
        following = int.from_bytes(page[place + local : place + local + 4], "big")
        if length > LONGEST:
            raise ValueError("no row of ours is as long")
        while len(payload) < length:
            more = self._pages[following]
            payload += more[4:]
            following = int.from_bytes(more[:4], "big")
        return key, _columns(payload[:length])

    def _local(self, length: int, kind: int) -> int:
        """How many bytes of a payload are on the page itself."""
        most = self._size - 35 if kind == TABLE_LEAF else (self._size - 12) * 64 // 255 - 23
        if length <= most:
            return length
        least = (self._size - 12) * 32 // 255 - 23
        local = least + (length - least) % (self._size - 4)
        return local if local <= most else least


def _cells(page: bytes, first: bool) -> Iterator[int]:
    """Where the cells of a page begin; none for a page without rows."""
    start = 100 if first else 0
    header = HEADER_BYTES.get(page[start])
    if header is None:
        return
    count = int.from_bytes(page[start + 3 : start + 5], "big")
    pointers = page[start + header : start + header + 2 * count]
    for place in range(0, len(pointers) - 1, 2):
        yield int.from_bytes(pointers[place : place + 2], "big")


def _columns(payload: bytes) -> list[Value]:
    header, place = _varint(payload, 0)
    kinds = []
    while place < header:
        kind, place = _varint(payload, place)
        kinds.append(kind)
    values = []
    for kind in kinds:
        length = _length(kind)
        if place + length > len(payload):
            raise ValueError("the record ends before its columns do")
        values.append(_value(kind, payload[place : place + length]))
        place += length
    return values


def _length(kind: int) -> int:
    """The bytes of a column of this serial type."""
    return (kind - 12) // 2 if kind >= 12 else (0, 1, 2, 3, 4, 6, 8, 8, 0, 0)[kind]


def _value(kind: int, raw: bytes) -> Value:
    if kind == 0:
        return None
    if kind == 7:
        return float(struct.unpack(">d", raw)[0])
    if kind in (8, 9):
        return kind - 8
    if kind < 7:
        return int.from_bytes(raw, "big", signed=True)
    return raw.decode("utf-8") if kind % 2 else raw


def _varint(data: bytes, place: int) -> tuple[int, int]:
    """A number of one to nine bytes, and the place after it."""
    number = 0
    for byte in range(8):
        found = data[place + byte]
        number = number << 7 | found & 0x7F
        if found < 0x80:
            return number, place + byte + 1
    return number << 8 | data[place + 8], place + 9
