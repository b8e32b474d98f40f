"""Speech models: found where they are, fetched whole and unchanged or not at all."""

import errno
import hashlib
import io
import socket
import stat
import sys
import threading
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from assistant.hearing import models, models_fetch, models_unpack
from assistant.hearing.models import (
    ModelsUnreadable,
    SpeechModel,
    best_model,
    known_models,
    placed_models,
    places,
)
from assistant.hearing.models_fetch import FetchFailed, fetch
from assistant.hearing.models_unpack import ArchiveRefused, unpack
from assistant.model_commands import model as model_command

TOP = "vosk-model-test"
PARAMETERS = np.random.default_rng(5).bytes(150_000)
"""Stands for an acoustic model: as hard to shrink as one."""

Members = dict[str | zipfile.ZipInfo, bytes]


def archive_of(members: Members) -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return written.getvalue()


GOOD: Members = {
    f"{TOP}/": b"",
    f"{TOP}/am/final.mdl": PARAMETERS,
    f"{TOP}/conf/model.conf": b"--beam=10.0\n",
}


@dataclass
class Server:
    """One file on this machine's own address, and how badly it is served."""

    content: bytes
    url: str = ""
    status: int = 200
    cut_after: int | None = None
    with_length: bool = True
    resumes: bool = True
    asked_for: list[str | None] = field(default_factory=list)

    def listed(self, **changes: object) -> SpeechModel:
        described = SpeechModel(
            name="test",
            purpose="these tests",
            folder=TOP,
            file=f"{TOP}.zip",
            size_bytes=len(self.content),
            sha256=hashlib.sha256(self.content).hexdigest(),
            url=self.url,
            licence="none",
        )
        return replace(described, **changes)  # type: ignore[arg-type]


@pytest.fixture
def server() -> Iterator[Server]:
    state = Server(content=archive_of(GOOD))

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked = self.headers.get("Range")
            state.asked_for.append(asked)
            if state.status != 200:
                self.send_error(state.status)
                return
            start = 0
            if asked is not None and state.resumes:
                start = int(asked.removeprefix("bytes=").removesuffix("-"))
                self.send_response(206)
            else:
                self.send_response(200)
            if state.with_length:
                self.send_header("Content-Length", str(len(state.content) - start))
            self.end_headers()
            end = len(state.content) if state.cut_after is None else start + state.cut_after
            self.wfile.write(state.content[start:end])

        def log_message(self, format: str, *args: object) -> None:
            pass

    serving = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    state.url = f"http://127.0.0.1:{serving.server_address[1]}/{TOP}.zip"
    thread = threading.Thread(target=serving.serve_forever, args=(0.01,))
    thread.start()
    yield state
    serving.shutdown()
    thread.join()
    serving.server_close()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "models"


def left_in(place: Path) -> list[str]:
    return sorted(path.name for path in place.iterdir()) if place.exists() else []


def test_a_model_is_fetched_checked_and_unpacked(server: Server, place: Path) -> None:
    seen: list[tuple[int, int]] = []
    folder = fetch(server.listed(), place, lambda there, wanted: seen.append((there, wanted)))
    assert folder == place / TOP
    assert (folder / "am" / "final.mdl").read_bytes() == PARAMETERS
    assert (folder / "conf" / "model.conf").read_text() == "--beam=10.0\n"
    assert left_in(place) == [TOP]
    assert seen == sorted(seen)
    assert seen[-1] == (len(server.content), len(server.content))


def test_a_model_that_is_there_is_not_asked_for_again(server: Server, place: Path) -> None:
    fetch(server.listed(), place)
    assert fetch(server.listed(), place) == place / TOP
    assert len(server.asked_for) == 1


@pytest.mark.parametrize("with_length", [True, False])
def test_a_dropped_line_is_told_and_the_next_try_goes_on(
    with_length: bool, server: Server, place: Path
) -> None:
    server.with_length = with_length
    server.cut_after = 100_000
    with pytest.raises(FetchFailed, match=r"dropped at 0\.1 MB of 0\.2 MB: the same command"):
        fetch(server.listed(), place)
    assert left_in(place) == [f"{TOP}.zip.part"]
    server.cut_after = None
    fetch(server.listed(), place)
    assert server.asked_for == [None, "bytes=100000-"]
    assert (place / TOP / "am" / "final.mdl").read_bytes() == PARAMETERS
    assert left_in(place) == [TOP]


def test_a_server_that_can_not_go_on_begins_anew(server: Server, place: Path) -> None:
    server.cut_after = 100_000
    with pytest.raises(FetchFailed):
        fetch(server.listed(), place)
    server.cut_after, server.resumes = None, False
    fetch(server.listed(), place)
    assert (place / TOP / "am" / "final.mdl").read_bytes() == PARAMETERS


def test_an_archive_that_has_come_whole_is_not_asked_for_again(server: Server, place: Path) -> None:
    place.mkdir()
    (place / f"{TOP}.zip.part").write_bytes(server.content)
    fetch(server.listed(), place)
    assert server.asked_for == []


def test_a_changed_file_is_removed_before_it_is_unpacked(server: Server, place: Path) -> None:
    listed = server.listed()
    server.content = server.content[:-1] + b"!"
    with pytest.raises(FetchFailed, match=rf"its SHA-256 is .*, wanted {listed.sha256}; removed"):
        fetch(listed, place)
    assert left_in(place) == []


def test_the_rest_of_another_file_is_not_taken_for_this_one(server: Server, place: Path) -> None:
    place.mkdir()
    (place / f"{TOP}.zip.part").write_bytes(b"x" * 1000)
    with pytest.raises(FetchFailed, match="SHA-256"):
        fetch(server.listed(), place)
    assert left_in(place) == []
    fetch(server.listed(), place)


@pytest.mark.parametrize("with_length", [True, False])
def test_a_file_of_another_size_is_not_taken(
    with_length: bool, server: Server, place: Path
) -> None:
    listed = server.listed()
    server.content += b"more"
    server.with_length = with_length
    told = "it is not the one that is listed" if with_length else "sends more than the"
    with pytest.raises(FetchFailed, match=told):
        fetch(listed, place)
    assert left_in(place) == []


def test_what_the_server_answers_is_told(server: Server, place: Path) -> None:
    server.status = 404
    with pytest.raises(FetchFailed, match=r"127\.0\.0\.1 answers 404 Not Found for http"):
        fetch(server.listed(), place)
    assert left_in(place) == []


@pytest.mark.parametrize("some_there", [None, 1000])
def test_without_a_network_one_line_says_what_to_do_by_hand(
    some_there: int | None, server: Server, place: Path
) -> None:
    server.cut_after = some_there
    if some_there:
        with pytest.raises(FetchFailed, match="the line dropped"):
            fetch(server.listed(), place)
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        url = f"http://127.0.0.1:{held.getsockname()[1]}/{TOP}.zip"
        with pytest.raises(FetchFailed) as failed:
            fetch(server.listed(url=url), place)
    said = str(failed.value)
    assert said.startswith("no network: 127.0.0.1 (Connection refused); ")
    assert f"put the folder {TOP} into {place} by hand, see " in said
    assert "\n" not in said
    assert Path(said.rsplit("see ", 1)[1]).is_file()


def test_a_folder_that_can_not_be_written_is_named(server: Server, tmp_path: Path) -> None:
    (tmp_path / "models").write_text("a file")
    with pytest.raises(FetchFailed, match=r"models: File exists"):
        fetch(server.listed(), tmp_path / "models")


def test_a_full_disk_is_told(server: Server, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(models_unpack, "_write", full)
    with pytest.raises(FetchFailed, match=r"models: No space left on device"):
        fetch(server.listed(), place)
    assert left_in(place) == []


def test_something_else_under_the_models_name_is_left_alone(server: Server, place: Path) -> None:
    (place / TOP).mkdir(parents=True)
    (place / TOP / "notes.txt").write_text("mine")
    with pytest.raises(FetchFailed, match="is in the way and is no speech model: remove it first"):
        fetch(server.listed(), place)
    assert (place / TOP / "notes.txt").read_text() == "mine"
    assert server.asked_for == []


def member(name: str, kind: int) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)
    entry.external_attr = (kind | 0o644) << 16
    return entry


def lying_about_its_size() -> bytes:
    """An archive whose directory says less than what unpacks, in each place that says so."""
    content = archive_of({**GOOD, f"{TOP}/zeros": bytes(3_000_000)})
    return content.replace((3_000_000).to_bytes(4, "little"), (30).to_bytes(4, "little"))


REFUSED: dict[str, tuple[bytes, str]] = {
    "up and out": (archive_of({**GOOD, f"{TOP}/../../up.txt": b"x"}), "would land elsewhere"),
    "absolute": (archive_of({**GOOD, "/tmp/up.txt": b"x"}), "would land elsewhere"),
    "drive": (archive_of({**GOOD, f"{TOP}/C:up.txt": b"x"}), "would land elsewhere"),
    "backslashes": (archive_of({**GOOD, f"{TOP}\\..\\up.txt": b"x"}), "would land elsewhere"),
    "two folders": (archive_of({**GOOD, "other/up.txt": b"x"}), f"outside the folder {TOP}"),
    "no folder": (archive_of({"final.mdl": PARAMETERS}), f"outside the folder {TOP}"),
    "link": (
        archive_of({**GOOD, member(f"{TOP}/link", stat.S_IFLNK): b"/etc"}),
        "holds a link or a device",
    ),
    "device": (
        archive_of({**GOOD, member(f"{TOP}/device", stat.S_IFCHR): b""}),
        "holds a link or a device",
    ),
    "twice": (archive_of({**GOOD, f"{TOP}/AM/final.mdl": b"x"}), "twice"),
    "bomb": (archive_of({**GOOD, f"{TOP}/zeros": bytes(3_000_000)}), "would unpack to more than"),
    "lying bomb": (lying_about_its_size(), "is damaged"),
    "many files": (
        archive_of({f"{TOP}/{n}": b"" for n in range(models_unpack.FILES_AT_MOST + 1)}),
        r"holds 10001 files",
    ),
    "no model": (archive_of({f"{TOP}/conf/model.conf": b"x"}), r"holds no speech model"),
    "no archive": (b"<html>moved</html>", "is damaged"),
    "flipped byte": (archive_of(GOOD).replace(PARAMETERS[9:20], b"x" * 11), "is damaged"),
    "empty": (archive_of({}), "holds no speech model"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_an_archive_that_could_do_harm_leaves_no_trace(
    what: str, server: Server, tmp_path: Path
) -> None:
    server.content, told = REFUSED[what]
    place = tmp_path / "deep" / "models"
    listed = server.listed()
    with pytest.raises(FetchFailed, match=rf"^{TOP}\.zip .*{told}.*: removed, nothing was unpack"):
        fetch(listed, place)
    assert left_in(place) == []
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["deep", "models"]


def test_what_unpacks_is_counted_not_believed(tmp_path: Path) -> None:
    archive = tmp_path / "archive.zip"
    archive.write_bytes(archive_of(GOOD))
    opened = zipfile.ZipFile(archive)
    with opened, pytest.raises(ArchiveRefused, match=r"unpacks to more than 0\.1 MB"):
        models_unpack._write(opened, tmp_path / "beside", 100_000)


def test_a_model_in_the_archives_own_folder_unpacks(tmp_path: Path) -> None:
    archive = tmp_path / "archive.zip"
    archive.write_bytes(archive_of({f"{TOP}/final.mdl": b"old layout"}))
    assert unpack(archive, TOP, tmp_path, at_most_bytes=100) == tmp_path / TOP


def put(place: Path, name: str) -> Path:
    (place / name / "am").mkdir(parents=True)
    (place / name / "am" / "final.mdl").write_bytes(b"model")
    return place / name


@pytest.fixture
def nowhere_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No models but what a test puts there; the checkout's folder is a new one."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "user"))
    monkeypatch.setenv("HOME", str(tmp_path / "user"))
    listed = models.models_list()
    checkout = tmp_path / "checkout"
    checkout.mkdir()
    (checkout / models.LIST).write_bytes(listed.read_bytes())
    monkeypatch.setattr(models, "_CHECKOUT", checkout)
    return checkout


def test_the_list_names_both_english_models() -> None:
    small, large = (
        next(model for model in known_models() if model.name == name)
        for name in ("small-en-us", "lgraph-en-us")
    )
    assert (small.size_bytes, large.size_bytes) == (41_205_931, 130_557_655)
    for model in (small, large):
        assert len(bytes.fromhex(model.sha256)) == 32
        assert model.url == f"https://alphacephei.com/vosk/models/{model.file}"
        assert model.file == f"{model.folder}.zip"


def test_without_any_model_there_is_no_best_one(nowhere_else: Path) -> None:
    assert best_model() is None


def test_the_better_listed_model_is_used_then_any_other(nowhere_else: Path) -> None:
    other = put(nowhere_else, "vosk-model-another")
    assert best_model() == other
    small = put(nowhere_else, "vosk-model-small-en-us-0.15")
    assert best_model() == small
    large = put(nowhere_else, "vosk-model-en-us-0.22-lgraph")
    assert best_model() == large
    assert [placed.folder for placed in placed_models()] == [large, small, other]


def test_a_folder_without_an_acoustic_model_is_no_model(nowhere_else: Path) -> None:
    (nowhere_else / "vosk-model-small-en-us-0.15").mkdir()
    assert best_model() is None


def test_the_folder_asked_for_comes_first_then_the_checkout_then_the_users(
    nowhere_else: Path, tmp_path: Path
) -> None:
    asked = tmp_path / "asked"
    found = places(asked)
    assert found[:2] == (asked / "models", nowhere_else)
    assert found[2].parts[-2:] == ("kettleside", "models")
    assert places() == found[1:]
    name = "vosk-model-small-en-us-0.15"
    users = put(found[2], name)
    assert best_model() == users
    checkouts = put(nowhere_else, name)
    assert best_model() == checkouts
    assert best_model(asked) == checkouts
    assert put(asked / "models", name) == best_model(asked)


def test_outside_a_checkout_the_installed_list_and_the_users_folder_serve(
    nowhere_else: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    installed = tmp_path / "prefix" / "share" / "kettleside" / "models"
    installed.mkdir(parents=True)
    (nowhere_else / models.LIST).rename(installed / models.LIST)
    monkeypatch.setattr(sys, "prefix", str(tmp_path / "prefix"))
    assert models.models_list() == installed / models.LIST
    assert {model.name for model in known_models()} == {"small-en-us", "lgraph-en-us"}
    assert len(places()) == 1


ENTRY = (
    "- {name: a, for: b, folder: c, file: d.zip, size_bytes: 5, sha256: abc, "
    "url: 'https://x.example/d.zip', licence: none}\n"
)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", r"wanted a list of models, found None"),
        ("[]", r"wanted a list of models, found \[\]"),
        ("a: [", r"the list of models can't be read"),
        ("- text", r"model 1: wanted name, for, folder, .* found 'text'"),
        (ENTRY.replace("sha256: abc, ", ""), r"model 1: 'sha256' is missing"),
        (ENTRY.replace("name: a", "name: a, nmae: b"), r"'nmae' is not a key of a model"),
        (ENTRY.replace("size_bytes: 5", "size_bytes: 5 MB"), "wanted a whole number, found '5 MB'"),
        (ENTRY.replace("name: a", "name: 3"), r"name: wanted text, found 3"),
        (ENTRY.replace("folder: c", "folder: ../c"), r"wanted a plain name, found '\.\./c'"),
        (ENTRY.replace("d.zip, s", "'..', s"), r"file: wanted a plain name, found '\.\.'"),
        (ENTRY.replace("https:", "file:"), r"url: wanted a web address, found 'file:"),
        (ENTRY * 2, "two models have the same name"),
    ],
)
def test_a_faulty_list_is_told_by_file_entry_and_key(text: str, told: str, tmp_path: Path) -> None:
    path = tmp_path / "models.yaml"
    path.write_text(text)
    with pytest.raises(ModelsUnreadable, match=told) as unreadable:
        known_models(path)
    assert str(unreadable.value).startswith(f"{path}: ")


def test_a_missing_list_is_told(tmp_path: Path) -> None:
    with pytest.raises(ModelsUnreadable, match="can't be read"):
        known_models(tmp_path / "models.yaml")


Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(nowhere_else: Path, server: Server) -> Run:
    """The command, with a list whose only model is the server's."""
    entry = server.listed()
    (nowhere_else / models.LIST).write_text(
        f"- {{name: test, for: these tests, folder: {TOP}, file: {entry.file}, "
        f"size_bytes: {entry.size_bytes}, sha256: '{entry.sha256}', url: '{entry.url}', "
        f"licence: none}}\n"
    )

    def call(*words: str) -> tuple[int, str, str]:
        result = CliRunner().invoke(model_command, words, env={"KETTLESIDE_DATA": None})
        return result.exit_code, result.stdout, result.stderr

    return call


def test_the_command_lists_fetches_and_lists_what_is_used(run: Run, nowhere_else: Path) -> None:
    code, said, _ = run("list")
    assert code == 0
    assert "test" in said
    assert f"None is there: `kettleside model fetch NAME` puts it into {nowhere_else}" in said
    code, said, _ = run("fetch", "test")
    assert (code, said) == (0, f"test is in {nowhere_else / TOP}\n")
    code, said, _ = run("list")
    assert f"Used: {nowhere_else / TOP}" in said
    assert run("fetch", "test")[1] == f"test is there already: {nowhere_else / TOP}\n"


def test_the_command_puts_a_model_where_the_record_is(run: Run, tmp_path: Path) -> None:
    data = tmp_path / "data"
    assert run("fetch", "test", "--data", str(data))[0] == 0
    assert (data / "models" / TOP / "am" / "final.mdl").is_file()
    assert f"Used: {data / 'models' / TOP}" in run("list", "--data", str(data))[1]


def test_the_command_shows_models_put_there_by_hand(run: Run, nowhere_else: Path) -> None:
    other = put(nowhere_else, "vosk-model-another")
    assert f"Used: {other}" in run("list")[1]


def test_the_command_names_the_models_it_knows(run: Run) -> None:
    code, _, told = run("fetch", "tset")
    assert code == 2
    assert "'tset' is no model of the list: test" in told


def test_a_fetch_that_failed_ends_with_one_line_and_status_1(run: Run, server: Server) -> None:
    server.status = 503
    code, said, told = run("fetch", "test")
    assert (code, said) == (1, "")
    assert told.splitlines()[-1].startswith("127.0.0.1 answers 503")


def test_a_faulty_list_ends_the_command_with_status_2(run: Run, nowhere_else: Path) -> None:
    (nowhere_else / models.LIST).write_text("[]")
    code, said, told = run("list")
    assert (code, said) == (2, "")
    assert told == f"{nowhere_else / models.LIST}: wanted a list of models, found []\n"


def test_a_fetch_stopped_by_hand_says_that_it_can_go_on(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> Iterator[bytes]:
        raise KeyboardInterrupt

    monkeypatch.setattr(models_fetch, "_blocks", stopped)
    code, said, told = run("fetch", "test")
    assert (code, said) == (130, "")
    assert told.endswith("Stopped. What has come is kept: the same command goes on with it.\n")
