"""Everything at once: a failing disk, clocks that jump, sound that is gone, a program killed."""

from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from clock import Hands
from disk import FAULTS, Disk
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.backing_off import PAUSES_S
from assistant.day.effects import Effect, TimerChanged, TimerNews
from assistant.day.events import (
    ClockJumped,
    DayBegan,
    DayResumed,
    EarTroubled,
    Event,
    Jump,
    RecordTrouble,
    TimePassed,
    Trouble,
)
from assistant.day.state import Phase, State, new_day
from assistant.day_clock import DayClock, bridged
from assistant.day_voice import Silence
from assistant.happening import Happening
from assistant.record.codec import event_from
from assistant.record.journal import Journal
from assistant.record.keeping import Keeper
from assistant.record.replay import replay
from assistant.schedule import Schedule
from assistant.session import Session
from assistant.voice_news import News

STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("wait"), st.sampled_from([0.5, 5.0, 70.0])),
        st.tuples(
            st.just("type"), st.sampled_from(["note steam", "one minute timer", "where are we"])
        ),
        st.tuples(st.just("type"), st.sampled_from(["undo", "skip", "grain is in", "nonsense"])),
        st.tuples(st.just("sleep"), st.sampled_from([30.0, 3000.0])),
        st.tuples(st.just("set"), st.sampled_from([3600.0, -3600.0, 40.0])),
        st.tuples(st.just("fault"), st.sampled_from(list(FAULTS))),
        st.tuples(st.just("mend"), st.none()),
        st.tuples(st.just("sound"), st.sampled_from(Trouble)),
        st.tuples(st.just("kill"), st.sampled_from([0.0, 20.0, 600.0])),
    ),
    min_size=3,
    max_size=25,
)


@dataclass
class Machine:
    """A computer on which a day is brewed: its clocks, its disk, and the program that runs."""

    folder: Path
    schedule: Schedule
    hands: Hands = field(default_factory=Hands)
    due: list[str] = field(default_factory=list)

    def begin(self) -> None:
        self.journal = Journal.open(self.folder)
        day_id = self.journal.begin_day(self.schedule, "amber.yaml", self.hands.wall)
        keeper = Keeper(self.journal, day_id, now_s=self.hands.steady_s)
        session = Session(keeper, new_day(self.schedule, make_plan(self.schedule)))
        self._run(session, session.happen(DayBegan(at=0.0), self.hands.wall), 0.0)

    def kill(self, gone_s: float) -> None:
        """What was in memory alone is lost with the program; then it is started again."""
        accepted = self.accepted()
        lost = len(self.day.session.keeper.left)
        self.disk.mend()
        self.journal.close()
        self.hands.pass_(gone_s)
        self.journal = Journal.open(self.folder)
        on_record = list(self.journal.events(1))
        assert on_record == accepted[: len(accepted) - lost]
        last = self.journal.last(1)
        bridge = bridged(last, self.hands.wall)
        assert last is None or bridge.at >= last[0]
        keeper = Keeper(self.journal, 1, now_s=self.hands.steady_s)
        session = Session(keeper, replay(self.journal.schedule(1), on_record))
        resumed = DayResumed(at=bridge.at, unsure=bridge.unsure)
        self._run(session, session.happen(resumed, self.hands.wall), bridge.at)

    def step(self, kind: str, what: object) -> None:
        match kind, what:
            case "wait", float():
                self.hands.pass_(what)
            case "sleep", float():
                self.hands.pass_(what)
                self.look()
                jumps = [e for e in self.day.session.state.incidents if isinstance(e, ClockJumped)]
                assert jumps[-1].jump is Jump.SLEPT
            case "set", float():
                self.hands.set(what)
            case "fault", RecordTrouble():
                self.disk.mend()
                FAULTS[what](self.disk)
            case "mend", _:
                self.disk.mend()
            case "sound", Trouble():
                troubled = EarTroubled(at=self.day.session.state.now_s, trouble=what)
                self.take(self.day.told(News(event=troubled)))
            case "kill", float():
                self.kill(what)
            case "type", str():
                self.take(self.day.typed(what))
        self.look()

    def look(self) -> None:
        self.take(self.day.pass_time())

    def take(self, effects: tuple[Effect, ...]) -> None:
        self.due += [
            f"{effect.name} at {effect.due}"
            for effect in effects
            if isinstance(effect, TimerChanged) and effect.state is TimerNews.DUE
        ]
        state = self.day.session.state
        assert not any(
            timer.phase is Phase.SET and timer.left_s is None and timer.due_s <= state.now_s
            for timer in state.timers
        )

    def accepted(self) -> list[Event]:
        """What is on record or waits in line for it."""
        keeper = self.day.session.keeper
        waiting = (event_from(row.kind, row.body, "row") for row in keeper.left)
        return [*self.journal.events(1), *waiting]

    def _run(self, session: Session, effects: tuple[Effect, ...], at: float) -> None:
        self.disk = Disk(self.folder, self.journal)
        self.day = Happening(session, DayClock(at, 1.0, self.hands.clocks), Silence())
        self.day.begin(effects)
        self.take(effects)
        self.look()


def lasting(state: State) -> tuple[object, ...]:
    """What a day is judged by in the end."""
    return (
        state.stage,
        state.timers,
        state.tasks,
        state.asks,
        state.readings,
        state.notes,
        state.reached,
        state.incidents,
        state.record,
    )


@settings(max_examples=60)
@given(STEPS)
def test_whatever_comes_together_the_record_is_the_day(
    amber: Schedule, steps: list[tuple[str, object]]
) -> None:
    with TemporaryDirectory() as folder:
        machine = Machine(Path(folder), amber)
        machine.begin()
        at = 0.0
        for kind, what in steps:
            machine.step(kind, what)
            now_s = machine.day.session.state.now_s
            assert kind == "kill" or now_s >= at, "time never goes back"
            at = now_s
        machine.disk.mend()
        for _ in range(3):
            machine.hands.pass_(PAUSES_S[-1])
            machine.take(machine.day.typed("note all is well"))
        session = machine.day.session
        assert session.keeper.left == ()
        assert session.state.record is None
        kept = machine.journal.events(1)
        assert lasting(replay(machine.journal.schedule(1), kept)) == lasting(session.state)
        machine.journal.close()


def test_time_that_passed_is_not_told_twice(amber: Schedule, tmp_path: Path) -> None:
    machine = Machine(tmp_path, amber)
    machine.begin()
    machine.take(machine.day.typed("one minute timer"))
    for kind, what in [("set", 7200.0), ("wait", 70.0), ("kill", 5.0), ("wait", 5.0)]:
        machine.step(kind, what)
    assert len([name for name in machine.due if name.startswith("timer")]) == 1
    assert isinstance(machine.accepted()[-1], TimePassed | DayResumed)
    machine.journal.close()
