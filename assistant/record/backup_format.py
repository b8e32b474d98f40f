"""What a backup is: a zip file with the record, a plain copy of each day, and a list of them.

Any unzip opens it, any SQLite reads the record, and the copies are lines of JSON text. The list
has the size and the SHA-256 of every file, so that whoever has the backup can tell that it is
whole without this program.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeGuard

from assistant import __version__
from assistant.record.connecting import FILE_NAME
from assistant.record.copies import FOLDER_NAME, SUFFIX
from assistant.schedule.faults import harmless

KIND = "backup"
FORMAT = 1
"""The number of the format; a program refuses those above its own."""

LIST = "manifest.json"
RECORD = FILE_NAME
WORDS = "READ ME.txt"

COPY = re.compile(rf"{FOLDER_NAME}/(\d{{4,19}})-[a-z0-9-]{{1,60}}{re.escape(SUFFIX)}")
"""The name of a day's copy in a backup, and in it the number of the day."""

SET_ASIDE = re.compile(
    rf"set aside/[A-Za-z0-9][A-Za-z0-9._-]{{0,150}}{re.escape(SUFFIX)}\.damaged(?:-\d{{1,9}})?"
    r"|set aside/kettleside-damaged-[0-9-]{1,30}\.db(?:-wal|-shm|-journal)?"
)
"""The names of damaged files that a mending kept: more may be read of them one day."""

MOST_BYTES = 2 * 2**30
"""All that is in a backup, unpacked: a thousand times what a brewer's years come to."""

MOST_DAY_BYTES = 64 * 2**20
"""One day: a thermometer that reports every second fills it in four days and nights."""

MOST_LIST_BYTES = 8 * 2**20
MOST_TEXT_BYTES = 8 * 2**20
"""One text of the record, or one line of a copy: a schedule has some thousand letters."""

EXPLAINED = f"""\
This is a backup of a record of brew days, written by Kettleside, and all of it is plain.

{RECORD} is the whole record, an SQLite 3 database: a row of the table `days` for each
brew day and a row of `events` for each thing that happened on it.
{FOLDER_NAME}/ has each day as text: a line of JSON for each row; the day and its schedule are in
the first line.
{LIST} has the size in bytes and the SHA-256 of every other file here.
set aside/ has, if anything, damaged files that were kept when the record was mended.

`kettleside backup --check FILE` verifies it, `kettleside restore FILE` puts it back.
"""


@dataclass(frozen=True, kw_only=True)
class Listed:
    """A file of a backup: its size, and its SHA-256 in hexadecimal."""

    size: int
    sha256: str


@dataclass(frozen=True, kw_only=True)
class Contents:
    """What a backup says of itself.

    ``made`` is the moment in UTC as ISO 8601 has it, ``version`` that of the record in it, and
    ``files`` all that is in it but the list, by their names.
    """

    program: str
    made: str
    version: int
    days: int
    rows: int
    files: Mapping[str, Listed]


class NewerBackup(ValueError):
    """The backup is of a format above those that this program knows."""


def list_text(contents: Contents) -> bytes:
    """The list of a backup as it stands in it."""
    entry = {
        "kettleside": KIND,
        "format": FORMAT,
        "program": contents.program,
        "made": contents.made,
        "record": {
            "version": contents.version,
            "days": contents.days,
            "rows": contents.rows,
        },
        "files": {
            name: {"bytes": listed.size, "sha256": listed.sha256}
            for name, listed in contents.files.items()
        },
    }
    return json.dumps(entry, indent=1).encode("ascii") + b"\n"


def listed_in(data: bytes) -> Contents:
    """What the list in ``data`` says.

    Raises ValueError where it is no list of a backup, and :class:`NewerBackup` for a newer format.
    """
    try:
        entry = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise ValueError("it is not JSON") from error
    if not isinstance(entry, dict) or entry.get("kettleside") != KIND:
        raise ValueError("it is not that of a backup")
    found = entry.get("format")
    if _is_count(found) and found > FORMAT:
        raise NewerBackup(
            f"is a backup of format {found} and this program knows formats up to {FORMAT}; "
            "use the newer Kettleside that wrote it"
        )
    try:
        record, files = entry["record"], entry["files"]
        return Contents(
            program=_text(entry["program"]),
            made=_text(entry["made"]),
            version=_count(record["version"]),
            days=_count(record["days"]),
            rows=_count(record["rows"]),
            files={name: _listed(name, file) for name, file in files.items()},
        )
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("a part of it is missing or of another kind") from error


def program() -> str:
    """The version of this program."""
    return __version__


def copy_number(name: str) -> int | None:
    """The number of the day whose copy has this name in a backup; None for another file."""
    found = COPY.fullmatch(name)
    return None if found is None else int(found[1])


def may_be_named(name: str) -> bool:
    """Whether a file of a backup may have this name."""
    fixed = name in (RECORD, WORDS)
    return fixed or bool(COPY.fullmatch(name) or SET_ASIDE.fullmatch(name))


def _listed(name: str, file: Any) -> Listed:
    if not may_be_named(name):
        raise ValueError(f"it names {harmless(repr(name), 100)}, which is no file of a backup")
    sha256 = _text(file["sha256"])
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise ValueError(f"the SHA-256 of {name} is none")
    return Listed(size=_count(file["bytes"]), sha256=sha256)


def _text(value: object) -> str:
    if not isinstance(value, str) or len(value) > 100:
        raise TypeError("found no words")
    return value


def _count(value: object) -> int:
    if not _is_count(value):
        raise TypeError("found no number")
    return value


def _is_count(value: object) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**62
