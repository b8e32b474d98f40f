"""An engine's process may crash, hang or lie: the one who asks is answered, or told why not."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from misbehaving_engines import sound

from assistant.hearing.engine import EngineFailed, Evidence
from assistant.hearing.engine_process import EngineProcess, Patience
from assistant.hearing.grammar.tree import Grammar, Say

QUICK = Patience(answer_s=1.0, answer_per_s=0.0)
GRAMMAR = Grammar(Say(("mash",)))
Start = Callable[..., EngineProcess]


@pytest.fixture
def start() -> Iterator[Start]:
    """Starts engines of ``misbehaving_engines``, and ends them after the test."""
    started: list[EngineProcess] = []

    def begin(name: str, **settings: object) -> EngineProcess:
        settings.setdefault("patience", QUICK)
        engine = EngineProcess(f"misbehaving_engines:{name}", **settings)  # type: ignore[arg-type]
        started.append(engine)
        return engine

    yield begin
    for engine in started:
        engine.close()


@pytest.fixture
def counted(tmp_path: Path) -> Path:
    return tmp_path / "counted"


class Clock:
    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        return self.now_s


def words(evidence: Evidence) -> tuple[str, ...]:
    return evidence.looks[0].words


def wait_until(happened: Callable[[], bool]) -> None:
    """Give another process the time it needs; a day that never comes fails the test."""
    for _ in range(600):
        if happened():
            return
        time.sleep(0.05)
    pytest.fail("it never happened")


def running(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().split(") ")[1][0] != "Z"
    except FileNotFoundError:
        return False


def test_an_engine_answers_from_a_process_of_its_own_with_its_settings(start: Start) -> None:
    engine = start("Steady", said="mash")
    heard = engine.hear(sound(0.5, 7), GRAMMAR)
    assert words(heard) == ("mash", "7", str(engine.pid))
    assert engine.pid != os.getpid()
    assert heard.seconds == 0.5


def test_one_process_answers_all_requests(start: Start) -> None:
    engine = start("Steady")
    pids = {words(engine.hear(sound(0.1), GRAMMAR))[2] for _ in range(3)}
    assert len(pids) == 1


def test_an_engine_starts_and_answers_while_other_threads_run(start: Start) -> None:
    engine = start("Steady")
    answers: list[str] = []
    threads = [
        threading.Thread(
            target=lambda value=value: answers.append(
                words(engine.hear(sound(0.1, value), GRAMMAR))[1]
            )
        )
        for value in range(6)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == ["0", "1", "2", "3", "4", "5"]


def test_a_warm_engine_is_there_before_it_is_asked(start: Start) -> None:
    engine = start("Steady")
    assert engine.pid is None
    engine.warm()
    pid = engine.pid
    assert pid is not None
    assert words(engine.hear(sound(0.1), GRAMMAR))[2] == str(pid)


@pytest.mark.parametrize("how", ["aborts", "segfaults", "exits", "hangs", "stops"])
def test_a_request_lost_with_its_process_is_made_once_more(
    how: str, start: Start, counted: Path
) -> None:
    engine = start("Failing", how=how, counts_in=counted, times=1)
    assert words(engine.hear(sound(0.1, 5), GRAMMAR))[1] == "5"
    assert counted.read_text() == "xx"


@pytest.mark.parametrize(
    ("how", "told"),
    [
        ("aborts", r"failed 2 times \(the last time it crashed \(SIGABRT\)\)"),
        ("segfaults", r"crashed \(SIGSEGV\)"),
        ("exits", r"ended by itself \(status 3\)"),
        ("hangs", r"did not answer within 1 s"),
    ],
)
def test_a_second_loss_is_told_with_its_cause(
    how: str, told: str, start: Start, counted: Path
) -> None:
    patience = Patience(answer_s=1.0, answer_per_s=0.0, failures=2)
    engine = start("Failing", how=how, counts_in=counted, patience=patience)
    with pytest.raises(EngineFailed, match=told):
        engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "xx"


def test_twice_lost_asks_for_the_words_again(start: Start, counted: Path) -> None:
    engine = start("Failing", how="aborts", counts_in=counted)
    with pytest.raises(EngineFailed, match=r"crashed \(SIGABRT\), twice\. Say it again, or type"):
        engine.hear(sound(0.1), GRAMMAR)


@pytest.mark.parametrize(
    ("name", "told"),
    [("Nonsense", "gave an answer that was none, twice"), ("Unsendable", "cannot pickle")],
)
def test_an_answer_that_is_none_is_not_taken(name: str, told: str, start: Start) -> None:
    engine = start(name)
    with pytest.raises(EngineFailed, match=told):
        engine.hear(sound(0.1), GRAMMAR)


def test_what_an_engine_objects_to_is_told_without_ending_it(start: Start, counted: Path) -> None:
    engine = start("Failing", how="raises", counts_in=counted, times=1)
    with pytest.raises(EngineFailed, match="ValueError: a word it does not know"):
        engine.hear(sound(0.1), GRAMMAR)
    pid = engine.pid
    assert words(engine.hear(sound(0.1), GRAMMAR))[2] == str(pid)


def test_the_answer_to_an_earlier_request_is_never_taken_for_this_one(start: Start) -> None:
    engine = start("Slow", patience=QUICK)
    with pytest.raises(EngineFailed, match="did not answer within"):
        engine.hear(sound(0.1, 15), GRAMMAR)
    for value in (1, 2, 0, 3):
        assert words(engine.hear(sound(0.1, value), GRAMMAR))[1] == str(value)


def test_an_interrupted_request_leaves_nothing_for_the_next(start: Start) -> None:
    engine = start("Slow", patience=Patience(answer_s=20.0))
    engine.hear(sound(0.1, 0), GRAMMAR)
    interrupt = threading.Timer(0.3, os.kill, (os.getpid(), signal.SIGINT))
    interrupt.start()
    with pytest.raises(KeyboardInterrupt):
        engine.hear(sound(0.1, 9), GRAMMAR)
    assert words(engine.hear(sound(0.1, 1), GRAMMAR))[1] == "1"


def test_longer_sounds_may_take_longer(start: Start) -> None:
    engine = start("Slow", patience=Patience(answer_s=0.3, answer_per_s=2.0))
    assert words(engine.hear(sound(1.0, 8), GRAMMAR))[1] == "8"


def test_a_process_that_dies_between_requests_is_replaced_unasked(start: Start) -> None:
    engine = start("Steady")
    engine.hear(sound(0.1), GRAMMAR)
    first = engine.pid
    assert first is not None
    os.kill(first, signal.SIGKILL)
    wait_until(lambda: engine.pid not in (None, first))
    second = engine.pid
    assert words(engine.hear(sound(0.1), GRAMMAR))[2] == str(second)


def test_an_engine_that_keeps_failing_rests_and_is_tried_again(start: Start, counted: Path) -> None:
    clock = Clock()
    engine = start("Failing", how="aborts", counts_in=counted, times=3, clock=clock)
    with pytest.raises(EngineFailed, match="twice"):
        engine.hear(sound(0.1), GRAMMAR)
    resting = (
        r"failed 3 times \(the last time it crashed \(SIGABRT\)\)\. "
        r"It is tried again in 60 s; type meanwhile\."
    )
    with pytest.raises(EngineFailed, match=resting):
        engine.hear(sound(0.1), GRAMMAR)
    clock.now_s = 59.0
    engine.warm()
    assert engine.pid is None
    with pytest.raises(EngineFailed, match="again in 1 s"):
        engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "xxx"
    clock.now_s = 61.0
    assert words(engine.hear(sound(0.1, 4), GRAMMAR))[1] == "4"


def test_failures_far_apart_do_not_put_an_engine_to_rest(start: Start, counted: Path) -> None:
    clock = Clock()
    engine = start("Failing", how="aborts", counts_in=counted, clock=clock)
    for minute in range(3):
        clock.now_s = minute * 100.0
        with pytest.raises(EngineFailed, match="twice"):
            engine.hear(sound(0.1), GRAMMAR)


def test_an_engine_that_says_why_it_can_not_be_made_is_not_pressed(
    start: Start, counted: Path
) -> None:
    clock = Clock()
    engine = start("Unmade", counts_in=counted, clock=clock)
    for told in (r"^There is no speech model here\.$", r"here\. It is tried again in 60 s"):
        with pytest.raises(EngineFailed, match=told):
            engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "x"
    clock.now_s = 61.0
    with pytest.raises(EngineFailed, match=r"^There is no speech model here\.$"):
        engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "xx"


def test_the_reason_of_an_engine_warmed_in_vain_is_told_when_it_is_asked(
    start: Start, counted: Path
) -> None:
    engine = start("Unmade", counts_in=counted)
    engine.warm()
    wait_until(lambda: engine.pid is None)
    with pytest.raises(EngineFailed, match="There is no speech model here"):
        engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "x"


def test_an_engine_that_dies_loading_is_not_started_for_ever(start: Start, counted: Path) -> None:
    engine = start("DiesLoading", counts_in=counted)
    engine.warm()
    wait_until(lambda: counted.exists() and counted.read_text() == "xxx" and engine.pid is None)
    with pytest.raises(EngineFailed, match=r"failed 3 times .*SIGABRT"):
        engine.hear(sound(0.1), GRAMMAR)
    assert counted.read_text() == "xxx"


def test_an_engine_that_goes_on_dying_is_started_ever_less_often(
    start: Start, counted: Path
) -> None:
    clock = Clock()
    patience = Patience(rests_s=(60.0, 120.0))
    engine = start("Failing", how="aborts", counts_in=counted, clock=clock, patience=patience)
    for _ in range(2):
        with pytest.raises(EngineFailed):
            engine.hear(sound(0.1), GRAMMAR)
    started = []
    for clock.now_s in range(0, 400, 10):
        before = len(counted.read_text())
        with pytest.raises(EngineFailed, match="type meanwhile"):
            engine.hear(sound(0.1), GRAMMAR)
        started += [clock.now_s] * (len(counted.read_text()) - before)
    assert started == [60, 180, 300]


def test_an_engine_that_never_loads_is_given_up(start: Start) -> None:
    engine = start("LoadsForEver", patience=Patience(start_s=1.0, failures=2))
    with pytest.raises(EngineFailed, match="did not answer within 1 s"):
        engine.hear(sound(0.1), GRAMMAR)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        ("no_such_module:Engine", "No module named 'no_such_module'"),
        ("misbehaving_engines:Nobody", "has no attribute 'Nobody'"),
    ],
)
def test_an_engine_that_does_not_exist_is_told(make: str, told: str) -> None:
    engine = EngineProcess(make)
    try:
        with pytest.raises(EngineFailed, match=told):
            engine.hear(sound(0.1), GRAMMAR)
    finally:
        engine.close()


def test_ctrl_c_leaves_the_engine_running(start: Start) -> None:
    engine = start("Steady")
    engine.hear(sound(0.1), GRAMMAR)
    pid = engine.pid
    assert pid is not None
    os.kill(pid, signal.SIGINT)
    assert words(engine.hear(sound(0.1), GRAMMAR))[2] == str(pid)


def test_ctrl_c_does_not_end_an_engine_that_is_only_starting(start: Start) -> None:
    engine = start("Steady")
    engine.warm()
    pid = engine.pid
    assert pid is not None
    os.kill(pid, signal.SIGINT)
    assert words(engine.hear(sound(0.1), GRAMMAR))[2] == str(pid)


def test_a_native_library_prints_nothing_on_our_terminal(
    start: Start, capfd: pytest.CaptureFixture[str]
) -> None:
    assert words(start("Loud").hear(sound(0.1), GRAMMAR))[0] == "value"
    assert capfd.readouterr() == ("", "")


def test_words_an_engine_lacks_are_told_where_it_knows(start: Start) -> None:
    assert start("Knowing").unknown_words(GRAMMAR) == ("krausen", "trub")
    assert start("Steady").unknown_words(GRAMMAR) == ()


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs /proc")
def test_the_memory_of_the_process_is_told(start: Start) -> None:
    engine = start("Steady")
    assert engine.resident_bytes() is None
    engine.hear(sound(0.1), GRAMMAR)
    resident = engine.resident_bytes()
    assert resident is not None
    assert 5_000_000 < resident < 500_000_000


def test_closing_ends_the_process_and_all_asking(start: Start) -> None:
    engine = start("Steady")
    engine.hear(sound(0.1), GRAMMAR)
    pid = engine.pid
    assert pid is not None
    engine.close()
    assert engine.pid is None
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)
    with pytest.raises(EngineFailed, match="has been closed"):
        engine.hear(sound(0.1), GRAMMAR)
    engine.warm()
    assert engine.pid is None
    engine.close()


def test_closing_frees_who_waits_for_an_answer(start: Start) -> None:
    engine = start("Slow", patience=Patience(answer_s=100.0))
    engine.hear(sound(0.1, 0), GRAMMAR)
    told: list[str] = []

    def ask() -> None:
        try:
            engine.hear(sound(0.1, 3_000), GRAMMAR)
        except EngineFailed as failed:
            told.append(str(failed))

    waiting = threading.Thread(target=ask)
    waiting.start()
    time.sleep(0.2)
    engine.close()
    waiting.join()
    assert len(told) == 1
    assert told[0].endswith("has been closed.")


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="needs /proc")
@pytest.mark.parametrize("asked", ["engine.hear(sound(0.1, 0), None)", "busy()"])
def test_the_process_never_outlives_its_parent(asked: str, tmp_path: Path) -> None:
    program = tmp_path / "parent.py"
    program.write_text(
        "import threading, time\n"
        "from misbehaving_engines import sound\n"
        "from assistant.hearing.engine_process import EngineProcess\n"
        "def busy():\n"
        "    engine.hear(sound(0.1, 0), None)\n"
        "    threading.Thread(target=engine.hear, args=(sound(0.1, 6000), None)).start()\n"
        "    time.sleep(0.2)\n"
        "if __name__ == '__main__':\n"
        "    engine = EngineProcess('misbehaving_engines:Slow')\n"
        f"    {asked}\n"
        "    print(engine.pid, flush=True)\n"
        "    time.sleep(600)\n"
    )
    path = os.pathsep.join(entry for entry in sys.path if entry)
    with subprocess.Popen(
        [sys.executable, str(program)],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": path},
    ) as parent:
        assert parent.stdout is not None
        pid = int(parent.stdout.readline())
        assert running(pid)
        parent.kill()
    wait_until(lambda: not running(pid))


def test_a_program_that_ends_without_closing_ends_at_once(tmp_path: Path) -> None:
    program = tmp_path / "parent.py"
    program.write_text(
        "from misbehaving_engines import sound\n"
        "from assistant.hearing.engine_process import EngineProcess\n"
        "if __name__ == '__main__':\n"
        "    engine = EngineProcess('misbehaving_engines:Steady')\n"
        "    print(engine.hear(sound(0.1, 3), None).looks[0].words[1])\n"
    )
    path = os.pathsep.join(entry for entry in sys.path if entry)
    done = subprocess.run(
        [sys.executable, str(program)],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": path},
    )
    assert (done.stdout, done.stderr, done.returncode) == ("3\n", "", 0)
