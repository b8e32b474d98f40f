"""Speech models: found where they are, fetched whole and unchanged or not at all."""

import errno
import hashlib
import io
import re
import resource
import shutil
import socket
import ssl
import stat
import subprocess
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
    resumes_at: int | None = None
    redirect: str | None = None
    paused: threading.Event | None = None
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


@pytest.fixture(scope="session")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A certificate of this machine's own address that nobody has signed, with its key."""
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("no openssl to make a certificate with")
    folder = tmp_path_factory.mktemp("certificate")
    call = (
        f"{openssl} req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 "
        "-subj /CN=tests -addext subjectAltName=IP:127.0.0.1 -keyout key.pem -out cert.pem"
    )
    subprocess.run(call.split(), cwd=folder, check=True, capture_output=True)
    return folder / "cert.pem"


@pytest.fixture
def server(certificate: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate))
    monkeypatch.setenv("no_proxy", "127.0.0.1")
    state = Server(content=archive_of(GOOD))

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked = self.headers.get("Range")
            state.asked_for.append(asked)
            if state.redirect is not None and "mirror" not in self.path:
                self.send_response(302)
                self.send_header("Location", state.redirect)
                self.end_headers()
                return
            if state.status != 200:
                self.send_error(state.status)
                return
            start = 0
            if asked is not None and state.resumes:
                start = int(asked.removeprefix("bytes=").removesuffix("-"))
                told = start if state.resumes_at is None else state.resumes_at
                size = len(state.content)
                self.send_response(206)
                self.send_header("Content-Range", f"bytes {told}-{size - 1}/{size}")
            else:
                self.send_response(200)
            if state.with_length:
                self.send_header("Content-Length", str(len(state.content) - start))
            self.end_headers()
            end = len(state.content) if state.cut_after is None else start + state.cut_after
            if state.paused is not None:
                self.wfile.write(state.content[start : start + 1000])
                state.paused.wait(30)
                start += 1000
            self.wfile.write(state.content[start:end])

        def log_message(self, format: str, *args: object) -> None:
            pass

    serving = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    tls.load_cert_chain(certificate, certificate.with_name("key.pem"))
    serving.socket = tls.wrap_socket(serving.socket, server_side=True)
    state.url = f"https://127.0.0.1:{serving.server_address[1]}/{TOP}.zip"
    thread = threading.Thread(target=serving.serve_forever, args=(0.01,))
    thread.start()
    yield state
    serving.shutdown()
    thread.join()
    serving.server_close()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "models"


def part(server: Server, place: Path) -> Path:
    return models_fetch.part_of(server.listed(), place)


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
    assert left_in(place) == [part(server, place).name]
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
    part(server, place).write_bytes(server.content)
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
    part(server, place).write_bytes(b"x" * 1000)
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
    with pytest.raises(FetchFailed, match=r"127\.0\.0\.1 answers 404 Not Found for https"):
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
        url = f"https://127.0.0.1:{held.getsockname()[1]}/{TOP}.zip"
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
    with pytest.raises(FetchFailed, match=r"models: No space left on device: free some space"):
        fetch(server.listed(), place)
    assert left_in(place) == [part(server, place).name]
    monkeypatch.undo()
    assert len(server.asked_for) == 1
    assert left_in(place) == [part(server, place).name]


def test_something_else_under_the_models_name_is_left_alone(server: Server, place: Path) -> None:
    (place / TOP).mkdir(parents=True)
    (place / TOP / "notes.txt").write_text("mine")
    with pytest.raises(FetchFailed, match="is in the way and is no speech model: remove it first"):
        fetch(server.listed(), place)
    assert (place / TOP / "notes.txt").read_text() == "mine"
    assert server.asked_for == []


def test_a_disk_that_fills_while_it_comes_keeps_what_has_come(server: Server, place: Path) -> None:
    room = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (80_000, room[1]))
    try:
        with pytest.raises(FetchFailed, match="free some space; what has come is kept"):
            fetch(server.listed(), place)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, room)
    assert left_in(place) == [part(server, place).name]
    fetch(server.listed(), place)
    assert server.asked_for[1] is not None
    assert left_in(place) == [TOP]


@pytest.mark.parametrize(
    ("address", "told"),
    [
        ("http://127.0.0.1:9/other.zip", "127.0.0.1 leads away from https, to http://127.0.0.1:9/"),
        ("ftp://127.0.0.1:9/other.zip", "127.0.0.1 leads away from https, to ftp://"),
        ("file:///etc/hostname", "'file:///etc/hostname' is not allowed"),
        ("data:,x", "'data:,x' is not allowed"),
    ],
)
def test_a_redirect_off_https_is_not_followed(
    address: str, told: str, server: Server, place: Path
) -> None:
    server.redirect = address
    with pytest.raises(FetchFailed, match=re.escape(told)):
        fetch(server.listed(), place)
    assert left_in(place) == []


def test_a_redirect_by_https_is_followed(server: Server, place: Path) -> None:
    listed = server.listed()
    server.redirect = f"{listed.url}?mirror=1"
    assert fetch(listed, place) == place / TOP
    assert len(server.asked_for) == 2


@pytest.mark.parametrize("scheme", ["http", "file", "ftp", "data"])
def test_no_address_but_one_of_https_is_opened(scheme: str, server: Server, place: Path) -> None:
    url = server.url.replace("https:", f"{scheme}:")
    with pytest.raises(FetchFailed, match="is no address of https: nothing is fetched from it"):
        fetch(server.listed(url=url), place)
    assert server.asked_for == []


def test_a_server_that_can_not_prove_its_name_is_not_believed(
    server: Server, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("SSL_CERT_FILE")
    told = (
        r"127\.0\.0\.1 can't prove that it is 127\.0\.0\.1 \(self.signed certificate\): nothing was"
    )
    with pytest.raises(FetchFailed, match=told):
        fetch(server.listed(), place)
    assert server.asked_for == []
    assert left_in(place) == []


def test_a_line_that_is_not_https_at_all_is_told(server: Server, place: Path) -> None:
    plain = ThreadingHTTPServer(("127.0.0.1", 0), BaseHTTPRequestHandler)
    thread = threading.Thread(target=plain.serve_forever, args=(0.01,))
    thread.start()
    url = f"https://127.0.0.1:{plain.server_address[1]}/{TOP}.zip"
    try:
        with pytest.raises(FetchFailed, match=r"no safe line to 127\.0\.0\.1 \("):
            fetch(server.listed(url=url), place)
    finally:
        plain.shutdown()
        thread.join()
        plain.server_close()


def test_the_part_of_another_version_is_not_gone_on_from(server: Server, place: Path) -> None:
    old = server.listed()
    server.cut_after = 100_000
    with pytest.raises(FetchFailed, match="the line dropped"):
        fetch(old, place)
    server.content = archive_of({**GOOD, f"{TOP}/README": b"a newer one"})
    server.cut_after = None
    fetch(server.listed(), place)
    assert server.asked_for == [None, None]
    assert left_in(place) == [TOP]


def test_a_server_that_sends_another_part_is_not_believed(server: Server, place: Path) -> None:
    server.cut_after = 100_000
    with pytest.raises(FetchFailed, match="the line dropped"):
        fetch(server.listed(), place)
    server.cut_after, server.resumes_at = None, 50_000
    with pytest.raises(FetchFailed, match="sends another part of the file than asked for"):
        fetch(server.listed(), place)
    assert part(server, place).read_bytes() == server.content[:100_000]


def test_the_progress_begins_where_the_last_try_ended(server: Server, place: Path) -> None:
    server.cut_after = 100_000
    with pytest.raises(FetchFailed, match="the line dropped"):
        fetch(server.listed(), place)
    server.cut_after = None
    seen: list[int] = []
    fetch(server.listed(), place, lambda there, _: seen.append(there))
    assert seen[0] == 100_000
    assert seen == sorted(seen)


def test_of_two_fetches_at_once_one_is_turned_away(server: Server, place: Path) -> None:
    listed = server.listed()
    server.paused = threading.Event()
    begun = threading.Event()
    first = threading.Thread(target=fetch, args=(listed, place, lambda *_: begun.set()))
    first.start()
    try:
        assert begun.wait(30)
        with pytest.raises(FetchFailed, match="is being fetched by another program already"):
            fetch(listed, place)
    finally:
        server.paused.set()
        first.join()
    assert left_in(place) == [TOP]
    assert len(server.asked_for) == 1


@pytest.mark.parametrize("when", ["it comes", "it is unpacked"])
def test_a_fetch_stopped_by_hand_leaves_what_has_come_and_nothing_else(
    when: str, server: Server, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    def stopped_soon(there: int, _: int) -> None:
        if there:
            raise KeyboardInterrupt

    if when == "it is unpacked":
        monkeypatch.setattr(models_unpack, "_write", stopped)
    with pytest.raises(KeyboardInterrupt):
        fetch(server.listed(), place, stopped_soon if when == "it comes" else None)
    assert left_in(place) == [part(server, place).name]


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
        (ENTRY.replace("https:", "file:"), r"url: wanted an address of https, found 'file:"),
        (ENTRY.replace("https:", "http:"), r"url: wanted an address of https, found 'http:"),
        (ENTRY.replace("https://x.example", "https:"), r"url: wanted an address of https"),
        (ENTRY.replace("x.example", "[x.example"), r"url: wanted an address of https"),
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
