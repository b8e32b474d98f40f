"""Files that are no schedule at all: broken, hostile, too large, not there."""

import os
import sys
from pathlib import Path

import pytest
from schedule_texts import FILE, faults_of, schedule_text

from assistant.schedule import Fault, ScheduleError, load


def file_faults(path: Path) -> tuple[Fault, ...]:
    with pytest.raises(ScheduleError) as caught:
        load(path)
    return caught.value.faults


def only_fault(text: str) -> tuple[int | None, str | None, str, str]:
    (fault,) = faults_of(text)
    assert fault.file == FILE
    return fault.line, fault.key, fault.found, fault.wanted


READABLE = "YAML that can be read"
PLAIN = "plain text without control characters"

BROKEN = [
    ("[", 1, "broken YAML (expected the node content, but found '<stream end>')"),
    (
        "beer: Ale\nmash: [\n",
        3,
        "broken YAML (expected the node content, but found '<stream end>')",
    ),
    ("beer: Ale\nvolume: 'x", 2, "broken YAML (found unexpected end of stream)"),
    ("beer: Ale\n\tvolume: 5 L", 2, "broken YAML (found character '\\t' that cannot start"),
    ("beer: Ale: Best", 1, "broken YAML (mapping values are not allowed here)"),
    (r'beer: "\q"', 1, "broken YAML (found unknown escape character 'q')"),
    ("beer: @home", 1, "broken YAML (found character '@' that cannot start any token)"),
    ("%YAML 9.1\n---\nbeer: Ale", 1, "broken YAML (found incompatible YAML document"),
    ("%YAML " + "9" * 5000 + ".1\n---\n", 1, "broken YAML"),
    ('beer: Ale\nvolume: "\\UFFFFFFFF"', 2, "broken YAML"),
    ('"\\U00110000": 5', 1, "broken YAML"),
]


@pytest.mark.parametrize(("text", "line", "found"), BROKEN, ids=[row[0][:25] for row in BROKEN])
def test_broken_yaml_names_its_line(text: str, line: int, found: str) -> None:
    at, key, what, wanted = only_fault(text)
    assert (at, key, wanted) == (line, None, READABLE)
    assert what.startswith(found)


@pytest.mark.parametrize("character", ["\x00", "\x1b", "\x7f", "\x85\x86", "\ufffe", "\ud800"])
def test_control_characters_name_their_line(character: str) -> None:
    shown = character[-1].encode("unicode_escape", "surrogatepass").decode()
    expected = (2, None, f"the character {shown}", PLAIN)
    assert only_fault(f"beer: Ale\nvolume: {character}") == expected


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "\ufeff"])
def test_an_empty_file_is_no_schedule(text: str) -> None:
    expected = (None, None, "an empty file", "the keys of a schedule or of a kettle")
    assert only_fault(text) == expected


@pytest.mark.parametrize(
    ("text", "found"),
    [("- beer", "a list"), ("beer", "beer"), ("~", "nothing"), ("5", "5"), ("[]", "a list")],
)
def test_what_is_no_group_of_keys_is_no_schedule(text: str, found: str) -> None:
    wanted = "a group of keys such as beer, volume, kettle, grist, mash, boil and yeast"
    assert only_fault(text) == (1, None, found, wanted)


def test_a_second_document_is_refused() -> None:
    text = schedule_text() + "---\n" + schedule_text()
    assert only_fault(text) == (8, None, "a second document", "one document to a file")


@pytest.mark.parametrize(
    ("key", "value", "found", "wanted"),
    [
        ("boil", "!!python/object:os.system {}", "the tag !!python/object:os.system", "tag"),
        ("boil", "!!python/object/apply:os.system [ls]", "the tag !!python/object/apply", "tag"),
        ("boil", "!mine {for: 60 min}", "the tag !mine", "the value without a tag"),
        ("beer", "!!str 1984", "the tag !!str", "the value without a tag"),
        ("beer", "!!binary aGVsbG8=", "the tag !!binary", "the value without a tag"),
        ("grist", "*bill", "the alias *bill", "the value itself"),
    ],
)
def test_tags_and_aliases_are_refused_in_place(
    key: str, value: str, found: str, wanted: str
) -> None:
    (fault,) = faults_of(schedule_text(**{key: value}))
    assert fault.key == key
    assert fault.found.startswith(found)
    assert fault.wanted.endswith(wanted)


@pytest.mark.parametrize(
    ("key", "found"),
    [
        ("? [a, b]\n", "a group of values as a key"),
        ("? {a: b}\n", "a group of values as a key"),
        ("!!str beer", "the tag !!str"),
        ("*a ", "the alias *a"),
    ],
)
def test_a_key_is_a_plain_word(key: str, found: str) -> None:
    text = f"{schedule_text()}{key}: 5\n"
    assert only_fault(text) == (8, None, found, "a key of one plain word")


def test_an_alias_bomb_goes_off_nowhere() -> None:
    levels = [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    faults = faults_of("a0: &a0 [lol]\n" + "\n".join(levels))
    assert {fault.found for fault in faults if fault.key and fault.key.startswith("a")} == {
        "an unknown key"
    }


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("a: " + "[" * 10_000, id="lists"),
        pytest.param("a: " + "{a: " * 10_000, id="groups"),
        pytest.param("- " * 10_000, id="dashes"),
        pytest.param("a: !t " + "[" * 10_000, id="behind a tag"),
    ],
)
def test_a_nest_ten_thousand_deep_is_refused(text: str) -> None:
    expected = (1, None, "values nested too deep", "at most 8 levels")
    assert only_fault(text) == expected


def test_keys_of_keys_ten_thousand_deep_are_refused() -> None:
    assert faults_of("? " * 10_000)[-1].found == "values nested too deep"


def test_a_flood_of_values_is_refused() -> None:
    _, key, found, wanted = only_fault("".join(f"k{n}:\n" for n in range(3000)))
    assert (key, found, wanted) == (None, "too many values", "at most 2000 in a file")


def test_a_number_of_sixty_thousand_digits_is_only_a_wrong_volume() -> None:
    (fault,) = faults_of(schedule_text(volume="9" * 60_000))
    assert str(fault) == f"ale.yaml:2: volume: found {'9' * 77}...; wanted a volume such as 19 L"


def test_a_merge_key_is_only_an_unknown_key() -> None:
    (fault,) = faults_of(schedule_text() + "<<: {chill: {to: 60 degC}}\n")
    assert (fault.key, fault.found) == ("<<", "an unknown key")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "gone.yaml"
    assert file_faults(path) == (
        Fault(str(path), None, None, "no such file", "a file that is there"),
    )


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    (fault,) = file_faults(tmp_path)
    assert (fault.line, fault.found) == (None, "something that is not a file")


@pytest.mark.parametrize("name", ["x" * 5000, "a\x00b"], ids=["too long", "with a nought"])
def test_a_name_no_file_can_have(tmp_path: Path, name: str) -> None:
    (fault,) = file_faults(tmp_path / name)
    assert fault.line is None
    assert fault.found.startswith(("no such file", "a file that cannot be read"))


@pytest.mark.skipif(sys.platform == "win32", reason="no such devices there")
def test_a_device_without_end_is_not_read() -> None:
    (fault,) = file_faults(Path("/dev/zero"))
    assert fault.found == "something that is not a file"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such pipes there")
def test_a_pipe_without_a_writer_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (fault,) = file_faults(tmp_path / "pipe.yaml")
    assert fault.found == "something that is not a file"


@pytest.mark.skipif(
    sys.platform == "win32" or os.geteuid() == 0, reason="the superuser reads everything"
)
def test_a_file_the_brewer_may_not_read(tmp_path: Path) -> None:
    path = tmp_path / "secret.yaml"
    path.write_text(schedule_text())
    path.chmod(0)
    (fault,) = file_faults(path)
    assert fault.found.startswith("a file that cannot be read: ")


def test_ten_megabytes_are_too_large(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    path.write_bytes(b"# malt\n" * 1_500_000)
    (fault,) = file_faults(path)
    assert (fault.line, fault.found) == (None, "a file too large for a schedule")
    assert fault.wanted == "at most 64 KiB"


def test_a_text_too_large_is_refused_as_well() -> None:
    assert only_fault("#" * 65_537)[2:] == ("a file too large for a schedule", "at most 64 KiB")


@pytest.mark.parametrize(
    ("data", "line", "found"),
    [
        pytest.param(b"\x7fELF\x02\x01\x01\x00" * 9, 1, "the character \\x7f", id="a program"),
        pytest.param(b"beer: Ale\nvolume: 5\xb0\n", 2, "the byte 0xb0", id="Latin-1"),
        pytest.param("beer: Ale".encode("utf-16"), 1, "the byte 0xff", id="UTF-16"),
        pytest.param(b"\xed\xa0\x80", 1, "the byte 0xed", id="half a pair"),
    ],
)
def test_what_is_not_utf8_text_names_its_line(
    tmp_path: Path, data: bytes, line: int, found: str
) -> None:
    path = tmp_path / "odd.yaml"
    path.write_bytes(data)
    (fault,) = file_faults(path)
    assert (fault.line, fault.found) == (line, found)


@pytest.mark.parametrize("data", [b"\xef\xbb\xbf%s", b"%s"], ids=["with a mark", "without"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"], ids=["Unix", "Windows"])
def test_files_of_any_editor_are_read(tmp_path: Path, data: bytes, end: bytes) -> None:
    path = tmp_path / "ale.yaml"
    path.write_bytes(data % schedule_text().encode().replace(b"\n", end))
    assert load(path).beer == "Quayside Ale"
