"""A backup that is damaged, or was made to do harm: refused in words, or what was backed up."""

import io
import os
import sqlite3
import struct
import warnings
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from backups import (
    COPY_OF_FIRST,
    backup_of_three,
    faults,
    files_in,
    looked_through,
    repacked,
    with_record,
)
from damaged import days_of
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.record import backup_check, backup_files
from assistant.record.backup_files import opened
from assistant.record.backup_format import LIST, RECORD, WORDS
from assistant.record.errors import BackupError
from assistant.record.kept import KeptDay
from assistant.record.schema import VERSION

COPY = "days/0003-2024-06-16-breakwater-amber.jsonl"
RENAMED = COPY.replace("amber", "ale")


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return backup_of_three(tmp_path_factory.mktemp("three"))


@pytest.fixture(scope="module")
def whole(file: Path) -> bytes:
    return file.read_bytes()


@pytest.fixture(scope="module")
def days(file: Path) -> list[KeptDay]:
    return days_of(file.parent / "brewed")


def refused_or_as_it_was(data: bytes, whole: bytes, days: list[KeptDay]) -> bool:
    """Whether it was refused; what is not refused must be what was backed up."""
    found_faults = faults(data)
    if found_faults:
        assert all(fault.isprintable() and "three.zip" in fault for fault in found_faults)
        return True
    record, found = looked_through(data)
    assert (record, found) == (files_in(whole)[RECORD], days)
    return False


@settings(max_examples=300)
@given(data=st.data())
def test_a_bit_that_flips_anywhere_is_found_or_does_not_matter(
    whole: bytes, days: list[KeptDay], data: st.DataObject
) -> None:
    spoilt = bytearray(whole)
    for place in data.draw(st.lists(st.integers(0, len(whole) - 1), min_size=1, max_size=3)):
        spoilt[place] ^= 1 << data.draw(st.integers(0, 7))
    refused_or_as_it_was(bytes(spoilt), whole, days)


def test_every_third_byte_of_what_holds_a_backup_together_may_be_another(
    whole: bytes, days: list[KeptDay]
) -> None:
    directory = whole.index(b"PK\x01\x02")
    heads = [info.header_offset for info in zipfile.ZipFile(io.BytesIO(whole)).infolist()]
    places = [*range(directory, len(whole)), *(head + n for head in heads for n in range(90))]
    refused = 0
    places = places[::3]
    for place in places:
        spoilt = bytearray(whole)
        spoilt[place] ^= 0xFF
        refused += refused_or_as_it_was(bytes(spoilt), whole, days)
    # Dates, rights and marks of makers in it mean nothing here.
    assert refused > len(places) / 2


@settings(max_examples=100)
@given(data=st.data())
def test_a_backup_that_was_cut_short_or_lost_a_piece_is_refused(
    whole: bytes, days: list[KeptDay], data: st.DataObject
) -> None:
    start = data.draw(st.integers(0, len(whole) - 1))
    lost = data.draw(st.integers(1, len(whole) - start) | st.just(len(whole)))
    assert refused_or_as_it_was(whole[:start] + whole[start + lost :], whole, days)


@given(data=st.binary(max_size=300))
def test_what_is_no_backup_is_refused(data: bytes) -> None:
    expected = "three.zip is not a backup of brew days, or was cut short"
    assert faults(data) == (expected,)


def with_member(whole: bytes, name: str, held: bytes, *, mode: int = 0o100644) -> bytes:
    """The backup with one more file in the zip, that its list knows nothing of."""
    to = io.BytesIO(whole)
    info = zipfile.ZipInfo(name)
    info.external_attr = mode << 16
    with warnings.catch_warnings():
        # zipfile warns of a name that is there twice, and packs it.
        warnings.simplefilter("ignore")
        with zipfile.ZipFile(to, "a") as packed:
            packed.writestr(info, held)
    return to.getvalue()


@pytest.mark.parametrize(
    "name",
    [
        "../../../tmp/kettleside.db",
        "/etc/passwd",
        "days/../../x.jsonl",
        "C:\\kettleside.db",
        "set aside/../kettleside.db",
        "\x1b[2J\u202e",
        "n" * 5000,
        "kettleside.db/",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused_listed_or_not(whole: bytes, name: str) -> None:
    (fault,) = faults(with_member(whole, name, b"x"))
    assert fault.endswith("is no file of a backup")
    assert fault.isprintable()
    (fault,) = faults(repacked(whole, {name: b"x"}))
    assert "which is no file of a backup" in fault
    assert fault.isprintable()


def test_a_link_is_read_as_the_text_it_is(whole: bytes, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text("SQLite format 3")
    link = repacked(whole, {RECORD: None})
    held = str(secret).encode()
    listed = repacked(whole, {RECORD: held})
    assert any("is missing" in fault or "no record" in fault for fault in faults(link))
    assert faults(listed) == (
        "three.zip is damaged: the record in it can't be read: file is not a database",
    )
    linked = with_member(repacked(whole, {RECORD: None}), RECORD, held, mode=0o120777)
    assert len(faults(linked)) > 0


def test_a_file_that_is_there_twice_is_refused(whole: bytes) -> None:
    record = files_in(whole)[RECORD]
    assert "three.zip is damaged: it holds a file twice" in faults(
        with_member(whole, RECORD, record)
    )


def test_a_file_that_unpacks_to_more_than_it_should_is_not_unpacked(
    whole: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    nothing = bytes(1 << 20)
    monkeypatch.setattr(backup_files, "MOST_BYTES", 1 << 20)
    (fault,) = faults(repacked(whole, {"set aside/kettleside-damaged-1.db": nothing}))
    assert fault.startswith("three.zip is damaged: it would unpack to more than")
    monkeypatch.setattr(backup_files, "MOST_LIST_BYTES", 100)
    (fault,) = faults(whole)
    assert fault == "three.zip is damaged: manifest.json: it is longer than any list of a backup"


def test_a_file_that_says_less_of_itself_than_it_holds_is_refused(whole: bytes) -> None:
    # The size of the record, as the directory has it.
    spoilt = bytearray(whole)
    place = whole.index(b"PK\x01\x02" + b"\x14", whole.index(b"PK\x01\x02") + 1)
    assert struct.unpack_from("<L", whole, place + 24)[0] == len(files_in(whole)[RECORD])
    struct.pack_into("<L", spoilt, place + 24, 10)
    assert faults(bytes(spoilt)) == (
        f"three.zip is damaged: kettleside.db has 10 bytes; wanted {len(files_in(whole)[RECORD])}",
    )


@pytest.mark.parametrize("packing", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_other_ways_of_packing_are_refused(whole: bytes, packing: int) -> None:
    to = io.BytesIO()
    with zipfile.ZipFile(to, "w", packing) as packed:
        packed.writestr(LIST, b"{}")
    (fault,) = faults(to.getvalue())
    assert fault.endswith("it is packed in a way that no backup is")


def test_a_directory_past_all_bounds_is_not_loaded(whole: bytes) -> None:
    place = len(whole) - 22
    spoilt = bytearray(whole)
    struct.pack_into("<L", spoilt, place + 12, 1 << 30)
    assert faults(bytes(spoilt)) == ("three.zip is not a backup of brew days, or was cut short",)


LISTS: dict[str, tuple[Callable[[dict], object], str]] = {
    "another program's": (lambda told: told.update(kettleside="day"), "it is not that of a backup"),
    "no count": (lambda told: told["record"].update(days="3"), "a part of it is missing"),
    "no files": (lambda told: told.update(files=[]), "a part of it is missing"),
    "no checksum": (lambda told: told["files"][RECORD].update(sha256="x"), "SHA-256 of"),
    "other days": (lambda told: told["record"].update(days=4), "by its list it is 4 with 180"),
    "other version": (lambda told: told["record"].update(version=2), "not as its list says"),
    "a checksum changed": (
        lambda told: told["files"][WORDS].update(sha256="0" * 64),
        "READ ME.txt: its SHA-256 is not the one in the list",
    ),
    "a file missing": (
        lambda told: told["files"].update({RENAMED: told["files"][COPY]}),
        f"{RENAMED} is missing",
    ),
    "newer": (
        lambda told: told.update(format=9),
        "is a backup of format 9 and this program knows formats up to 1; use the newer",
    ),
}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_that_does_not_fit_is_refused(whole: bytes, name: str) -> None:
    told, wording = LISTS[name]
    assert wording in " ".join(faults(repacked(whole, {}, told)))


@pytest.mark.parametrize("held", [b"", b"[", b"[" * 100_000, b"[]", b"null", b"\xff", b'{"a":NaN}'])
def test_a_list_of_anything_is_refused(held: bytes) -> None:
    to = io.BytesIO()
    with zipfile.ZipFile(to, "w") as packed:
        packed.writestr(LIST, held)
    (fault,) = faults(to.getvalue())
    assert fault.startswith("three.zip is damaged: manifest.json: it is not")


UNLOCKED = "DROP TRIGGER events_stay; DROP TRIGGER events_are_kept; DROP TRIGGER events_follow;"
LOCKED_AGAIN = "".join(
    f"CREATE TRIGGER {name} {text};"
    for name, text in {
        "events_stay": "BEFORE UPDATE ON events"
        " BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END",
        "events_are_kept": "BEFORE DELETE ON events"
        " BEGIN SELECT RAISE(ABORT, 'what happened stays on record'); END",
        "events_follow": "BEFORE INSERT ON events WHEN NEW.seq IS NOT"
        " (SELECT COALESCE(MAX(seq), 0) + 1 FROM events WHERE day = NEW.day)"
        " BEGIN SELECT RAISE(ABORT, 'events go on record one after another'); END",
    }.items()
)

RECORDS = {
    "a row without sense": (
        "UPDATE events SET body = '[]' WHERE day = 1 AND seq = 5",
        "day 1 can't be read: found no event",
    ),
    "a row that a copy tells otherwise": (
        "UPDATE events SET wall = 5.0 WHERE day = 3 AND seq = 5",
        f"{COPY} does not say what the record says of day 3",
    ),
    "a row less": (
        "DELETE FROM events WHERE day = 3 AND seq = 60",
        f"{COPY} does not say what the record says of day 3",
    ),
    "a schedule without sense": (
        "UPDATE days SET schedule = '{\"beer\": 1}' WHERE id = 2",
        "day 2 can't be read: the schedule of the day on record can't be read",
    ),
    "a row that is no text": (
        "UPDATE events SET body = x'ff00' WHERE day = 1 AND seq = 5",
        "day 1 can't be read: found no words for what happened",
    ),
    "a day less": (
        "DELETE FROM learned WHERE day = 2; DELETE FROM events WHERE day = 2;"
        "DELETE FROM days WHERE id = 2",
        "the copy of day 2, which is not on record",
    ),
    "a day with a number past counting on": (
        "INSERT INTO days SELECT 9223372036854775807, began_wall, '', '', schedule, status"
        " FROM days WHERE id = 1",
        "its record has a day of the number 9223372036854775807",
    ),
    "a trigger": (
        "CREATE TRIGGER hidden AFTER INSERT ON days BEGIN DELETE FROM learned; END",
        "the record in it holds 'hidden', which is none of its own",
    ),
    "a view": (
        "CREATE VIEW hidden AS WITH RECURSIVE more(x) AS (SELECT 1 UNION ALL SELECT x FROM more)"
        " SELECT * FROM more",
        "the record in it holds 'hidden', which is none of its own",
    ),
    "a table less": ("DROP TABLE learned", "the record in it is damaged"),
    "no mark": (
        "PRAGMA application_id = 7",
        "the database in it is no record of brew days",
    ),
}


@pytest.mark.parametrize("name", RECORDS)
def test_a_record_that_does_not_read_is_found_though_every_checksum_fits(
    whole: bytes, tmp_path: Path, name: str
) -> None:
    change, wording = RECORDS[name]
    data = with_record(whole, f"{UNLOCKED} {change}; {LOCKED_AGAIN}", tmp_path)
    assert wording in " ".join(faults(data))


def test_a_newer_record_is_refused_as_a_newer_record_is(whole: bytes, tmp_path: Path) -> None:
    data = with_record(whole, "PRAGMA user_version = 99", tmp_path)
    assert faults(data) == (
        f"the record three.zip is of version 99 and this program knows versions up to {VERSION}; "
        "start the newer Kettleside that wrote it",
    )


def test_a_day_past_all_bounds_is_not_loaded(whole: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(backup_check, "MOST_DAY_BYTES", 9000)
    assert "day 1 holds more than 0 MiB, and none does" in faults(whole)[0]
    monkeypatch.undo()
    monkeypatch.setattr(backup_check, "MOST_TEXT_BYTES", 200)
    assert len(faults(whole)) > 0


@pytest.mark.parametrize(
    ("copy", "wording"),
    [
        (None, "the copy of day 1 is missing"),
        (b"", "is not the copy of a brew day"),
        (b"{" * 9_000_000, "has a line that is longer than any of a day"),
    ],
    ids=["none", "empty", "a line without end"],
)
def test_a_copy_that_is_none_is_found(whole: bytes, copy: bytes | None, wording: str) -> None:
    assert wording in " ".join(faults(repacked(whole, {COPY_OF_FIRST: copy})))


def test_a_second_copy_of_a_day_and_a_copy_of_another_are_found(whole: bytes) -> None:
    held = files_in(whole)[COPY]
    assert f"{RENAMED} is a second copy of day 3" in " ".join(
        faults(repacked(whole, {RENAMED: held}))
    )
    assert "does not say what the record says of day 1" in " ".join(
        faults(repacked(whole, {COPY_OF_FIRST: held}))
    )


def test_every_fault_has_a_line_up_to_a_hundred(whole: bytes, tmp_path: Path) -> None:
    more = "".join(
        f"INSERT INTO days VALUES ({number}, 0, '', '', '', 'left');" for number in range(4, 300)
    )
    found = faults(with_record(whole, f"BEGIN; {more} COMMIT", tmp_path))
    assert len(found) == 101
    assert found[-1] == "and 196 faults more"
    assert "day 299 can't be read" in found[0]


def test_what_is_no_file_is_refused_at_once(tmp_path: Path) -> None:

    os.mkfifo(tmp_path / "pipe")
    for place in (tmp_path / "pipe", tmp_path, Path("/dev/zero")):
        with pytest.raises(BackupError, match="is no file"), opened(place):
            pass
    with pytest.raises(BackupError, match="can't be read: No such file"), opened(tmp_path / "gone"):
        pass


def test_a_record_of_an_earlier_version_is_looked_through_as_it_will_be(
    whole: bytes, days: list[KeptDay], tmp_path: Path
) -> None:
    data = with_record(whole, "DROP TABLE beers; PRAGMA user_version = 2", tmp_path)
    assert "not as its list says" not in " ".join(
        faults(repacked(data, {}, lambda told: told["record"].update(version=2)))
    )
    older = repacked(data, {}, lambda told: told["record"].update(version=2))
    record, found = looked_through(older)
    assert found == days
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.deserialize(record)
        assert connection.execute("PRAGMA user_version").fetchone() == (2,)
