"""The board of a live day: what is sent when, and that a board in trouble costs the day nothing."""

import time
from collections.abc import Mapping
from contextlib import closing
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import ifaddr
import pytest
import uvicorn
from board.served import Served, read_until, served, shown
from screen.screen_days import BOILING, MASHING, brewed

from assistant import board_setup
from assistant import live_board as live_board_module
from assistant.board.chart import Trace
from assistant.board.server import PORT, BoardFailed, listening_socket
from assistant.board_setup import live_board
from assistant.day.effects import Refused, Say, Why
from assistant.day.state import State
from assistant.day_board import BoardWanted, Pace
from assistant.day_voice import Silence
from assistant.live_board import CHART_EVERY_S, CHART_MOVES_S, EAR_EVERY_S, NO_NETWORK, LiveBoard
from assistant.record.journal import Journal
from assistant.run import run_day
from assistant.schedule import Schedule
from assistant.voice_news import EarStatus

QUIET = EarStatus(
    deaf=False, muted=False, awaiting=False, speaking=False, level_db=-60.0, floor_db=-62.0
)


class Told:
    """Stands where the server does and keeps what it was told."""

    readers, fault = 0, ""

    def __init__(self) -> None:
        self.shown: list[tuple[str, Mapping[str, Any] | None]] = []

    def show(self, kind: str, shown: Mapping[str, Any] | None) -> None:
        self.shown.append((kind, shown))

    def words(self) -> list[str]:
        return []

    def of(self, kind: str) -> list[Any]:
        return [shown for each, shown in self.shown if each == kind]


class Bench:
    """A live board on clocks that are set by hand."""

    def __init__(self, *, speed: float = 1.0) -> None:
        self.now_s, self.server = 100.0, Told()
        self.board = LiveBoard(
            self.server,  # type: ignore[arg-type]
            Pace(at=lambda: self.now_s, speed=speed),
            host=lambda: "127.0.0.1",
            port=1,
            tokens=None,
            trace=Trace(),
            takes_words=True,
            wall_s=lambda: 1_780_000_000.0 + self.now_s,
            now_s=lambda: self.now_s,
        )

    def show(self, state: State, *effects: Say | Refused, heard: tuple[str, ...] = ()) -> None:
        self.board.show(7, state, effects, heard=heard)


def test_a_turn_of_the_loop_in_which_nothing_happens_sends_nothing() -> None:
    bench, (state, _) = Bench(), brewed(BOILING)
    for second in range(5):
        bench.now_s += second
        bench.show(replace(state, now_s=state.now_s + second))
    assert len(bench.server.of("picture")) == 1


def test_what_is_said_and_heard_is_sent_at_once_with_numbers_that_never_come_again() -> None:
    bench, (state, _) = Bench(), brewed(BOILING)
    bench.show(state, Say(text="Stir now.", why=Why.REMINDER))
    bench.show(state, Refused(text="Not here."), heard=("sing",))
    bench.show(state, heard=("sing", "done"))
    last = bench.server.of("picture")[-1]
    assert [each["text"] for each in last["said"]] == ["Stir now.", "Not here."]
    assert [each["why"] for each in last["said"]] == ["reminder", "answer"]
    assert [each["text"] for each in last["heard"]] == ["sing", "done"]
    assert len({each["id"] for each in (*last["said"], *last["heard"])}) == 4


def test_each_start_of_the_program_has_a_name_of_its_own() -> None:
    state, _ = brewed(BOILING)
    runs = set()
    for _ in range(20):
        bench = Bench()
        bench.show(state)
        runs.add(bench.server.of("picture")[0]["run"])
    assert len(runs) == 20


def test_the_chart_is_sent_now_and_then_though_nothing_happens() -> None:
    bench, (state, _) = Bench(), brewed(MASHING)
    for _ in range(10):
        bench.show(state)
        bench.now_s += CHART_EVERY_S / 5
    assert len(bench.server.of("course")) == 2


def test_the_chart_follows_what_happens_within_a_second() -> None:
    bench, (state, _), (later, _) = Bench(), brewed(MASHING), brewed(BOILING)
    bench.show(state)
    bench.now_s += 0.1
    bench.show(later, Say(text="Boiling.", why=Why.PROMPT))
    assert len(bench.server.of("course")) == 1
    bench.now_s += CHART_MOVES_S
    bench.show(later)
    first, second = bench.server.of("course")
    assert first["marks"] != second["marks"]


def test_a_day_that_stands_still_tells_each_second_of_its_driver() -> None:
    bench, (state, _) = Bench(speed=0), brewed(BOILING)
    bench.show(state)
    bench.show(replace(state, now_s=state.now_s + 1))
    assert [each["at"] for each in bench.server.of("picture")] == [state.now_s, state.now_s + 1]


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="no time zone of one's own on Windows")
def test_a_picture_is_of_the_clock_that_counts_on_and_of_the_brewers_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bench, (state, _) = Bench(), brewed(BOILING)
    bench.now_s = state.now_s + 7
    with monkeypatch.context() as elsewhere:
        elsewhere.setenv("TZ", "NPT-5:45")
        time.tzset()
        bench.show(state)
    time.tzset()
    shown = bench.server.of("picture")[0]
    assert (shown["at"], shown["offset_min"]) == (bench.now_s, 345)


def test_what_the_kettle_went_through_is_in_the_chart() -> None:
    bench, (state, _) = Bench(), brewed(MASHING)
    bench.show(state)
    assert [at_s for at_s, _ in bench.server.of("course")[0]["was"]] == [state.now_s]


def test_the_meter_moves_a_few_times_a_second_and_only_where_it_changes() -> None:
    bench = Bench()
    for step in range(20):
        bench.board.hear(replace(QUIET, level_db=-60.0 + step))
        bench.now_s += EAR_EVERY_S / 2
    assert 5 <= len(bench.server.of("ear")) <= 10
    sent = len(bench.server.of("ear"))
    for _ in range(20):
        bench.board.hear(replace(QUIET, level_db=-41.0))
        bench.now_s += EAR_EVERY_S
    assert len(bench.server.of("ear")) <= sent + 1


def test_an_ear_that_is_not_listening_shows_no_level() -> None:
    bench = Bench()
    bench.board.hear(replace(QUIET, muted=True, level_db=-12.0))
    assert bench.server.of("ear") == [
        {"level": 0.0, "floor": 0.0, "words": "speaking, not listening"}
    ]


def test_a_reader_who_comes_late_is_shown_all_that_stands() -> None:
    state, _ = brewed(BOILING)
    with served() as board:
        live = LiveBoard(
            board.server,
            Pace(at=lambda: state.now_s, speed=1),
            host=lambda: "127.0.0.1",
            port=1,
            tokens=None,
            trace=Trace(),
            takes_words=True,
        )
        live.show(3, state, (), heard=())
        live.hear(None)
        reader = board.reader()
        found = shown(read_until(reader, b"event: ear\ndata: null\n\n"))
        reader.close()
    assert [kind for kind, _ in found] == ["picture", "course", "ear"]
    assert found[0][1]["beer"] == "Breakwater Amber"


def test_a_moment_that_cannot_be_pictured_costs_the_board_that_moment_and_not_the_day(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bench, (state, _), (later, _) = Bench(), brewed(MASHING), brewed(BOILING)
    bench.show(state)
    with monkeypatch.context() as broken:
        broken.setattr(live_board_module, "picture", lambda *args: 1 / 0)
        for _ in range(3):
            bench.show(later, Say(text="Boiling.", why=Why.PROMPT))
        assert "stands still" in bench.board.trouble
    stale = bench.server.of("picture")[1:]
    assert [each["troubles"] for each in stale] == [[bench.board.trouble]]
    assert stale[0]["place"] == bench.server.of("picture")[0]["place"]
    bench.show(later)
    assert bench.board.trouble == ""
    assert bench.server.of("picture")[-1]["troubles"] == []


def test_a_board_that_ended_by_itself_is_told_of() -> None:
    with served() as board:
        loop = board.server._loop
        assert loop is not None
        loop.call_soon_threadsafe(loop.stop)
        board.server._thread.join(10)
        assert "has ended" in board.server.fault
        board.server.show("picture", {"label": "nobody looks"})


def test_a_server_that_leaves_without_an_error_is_told_of_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    async def leaves(self: uvicorn.Server, sockets: object) -> None:
        return

    monkeypatch.setattr(uvicorn.Server, "serve", leaves)
    with served() as board:
        board.server._thread.join(10)
        assert board.server.fault == "The board has ended."


def test_a_board_that_was_closed_is_no_trouble() -> None:
    with served() as board:
        pass
    assert board.server.fault == ""


def test_a_day_whose_last_sentence_is_yet_spoken_says_sent_to_no_words(
    tmp_path: Path, amber: Schedule, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(listening_socket(0, shared=False)) as free:
        port = free.getsockname()[1]
    board = Served(server=None, port=port)  # type: ignore[arg-type]
    told: list[tuple[int, str]] = []

    def speaks(voice: Silence, timeout_s: float) -> bool:
        told.append(board.say("undo"))
        return True

    monkeypatch.setattr(Silence, "finish", speaks)
    monkeypatch.setattr("sys.stdin", StringIO("\n".join(TO_THE_END)))
    with Journal.open(tmp_path) as journal:
        run_day(amber, "amber", journal, speed=1.0, board=wanted(tmp_path, port))
    assert [status for status, _ in told] == [503]


TO_THE_END = (
    "grain is in",
    "bag is out",
    "boiling",
    "chilled",
    "transferred",
    "pitched",
    "all clean",
)


def wanted(folder: Path, port: int | None = None, *, share: bool = False) -> BoardWanted:
    return BoardWanted(share=share, port=port, folder=folder)


def test_a_port_that_is_taken_is_told_and_the_day_has_no_board(tmp_path: Path) -> None:
    state, _ = brewed(BOILING)
    taken = listening_socket(0, shared=False)
    port = taken.getsockname()[1]
    pace = Pace(at=lambda: 0.0, speed=1)
    with live_board(wanted(tmp_path, port), pace, Trace(), takes_words=True) as (board, lines):
        assert str(port) in lines[0]
        board.show(1, state, (), heard=())
        board.hear(None)
        assert (board.address, board.words()) == ("", [])
        assert board.trouble == lines[0]
    taken.close()


def test_a_second_board_takes_whichever_port_is_free(tmp_path: Path) -> None:
    pace = Pace(at=lambda: 0.0, speed=1)
    try:
        first = listening_socket(PORT, shared=False)
    except BoardFailed:
        first = None  # another program of this machine has it, which serves as well
    with live_board(wanted(tmp_path), pace, Trace(), takes_words=True) as (board, _):
        assert board.address.startswith("http://127.0.0.1:")
        assert f":{PORT}/" not in board.address
    if first is not None:
        first.close()


def test_a_restarted_board_is_at_the_same_shared_address(tmp_path: Path) -> None:
    pace, found = Pace(at=lambda: 0.0, speed=1), []
    for _ in range(2):
        with live_board(wanted(tmp_path, share=True), pace, Trace(), takes_words=True) as (
            board,
            _,
        ):
            found.append(board.address.rsplit("/", 2)[1])
    assert found[0] == found[1]


@pytest.mark.parametrize(
    ("addresses", "found"),
    [
        pytest.param(["127.0.0.1", "192.168.1.20"], "192.168.1.20", id="loopback is no use"),
        pytest.param(["169.254.3.4", "10.0.0.5"], "10.0.0.5", id="nor one without a network"),
        pytest.param(["11.0.0.9", "192.168.1.20"], "192.168.1.20", id="a private one first"),
        pytest.param(["11.0.0.9"], "11.0.0.9", id="else another"),
        pytest.param([], "127.0.0.1", id="none"),
    ],
)
def test_a_shared_board_is_told_by_an_address_that_a_phone_can_reach(
    tmp_path: Path, addresses: list[str], found: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    ips = [ifaddr.IP(address, 24, "lan") for address in addresses]
    monkeypatch.setattr(board_setup, "_sends_from", lambda: "")
    monkeypatch.setattr(ifaddr, "get_adapters", lambda: [ifaddr.Adapter("lan", "lan", ips)])
    pace, shared = Pace(at=lambda: 0.0, speed=1), wanted(tmp_path, 0, share=True)
    with live_board(shared, pace, Trace(), takes_words=True) as (board, _):
        assert board.address.startswith(f"http://{found}:")


def test_a_shared_board_without_a_network_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = ["127.0.0.1"]
    monkeypatch.setattr(board_setup, "own_address", lambda: found[0])
    pace = Pace(at=lambda: 0.0, speed=1)
    asked = wanted(tmp_path, share=True)
    with live_board(asked, pace, Trace(), takes_words=True) as (board, lines):
        assert lines[1] == board.trouble == NO_NETWORK
        found[0] = "192.168.1.20"
        assert board.trouble == ""
        assert board.address.startswith("http://192.168.1.20:")
