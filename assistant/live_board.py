"""The board of a live day: each turn of the loop in, whatever changed by it out to the readers."""

import secrets
import time
from collections import deque
from collections.abc import Callable, Sequence
from datetime import datetime

from assistant.board.chart import Trace, chart
from assistant.board.picture import HEARD, SAID, Around, Moment, Picture, Words, picture
from assistant.board.server import BoardServer
from assistant.board.tokens import Tokens
from assistant.day.effects import Effect, Refused, Say, Why
from assistant.day.state import State
from assistant.day_board import Pace
from assistant.ear_words import ear_state, listens, share
from assistant.voice_news import EarStatus

LOOPBACK = "127.0.0.1"

NO_NETWORK = "There is no network that other devices could see the board on."

EAR_EVERY_S = 0.2
CHART_EVERY_S, CHART_MOVES_S = 10.0, 1.0
"""Seconds between two charts: while time alone passes, and while things happen."""

METER_STEPS = 20
"""So finely a page can show the level; less is no change."""


class LiveBoard:
    """See :class:`~assistant.day_board.DayBoard`; ``host`` tells where others reach this machine.

    It is asked anew each time: a network may come, or go, while the board is there.
    """

    def __init__(
        self,
        server: BoardServer,
        pace: Pace,
        *,
        host: Callable[[], str],
        port: int,
        tokens: Tokens | None,
        trace: Trace,
        takes_words: bool,
        wall_s: Callable[[], float] = time.time,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        self._server, self._pace = server, pace
        self._host, self._port, self._tokens = host, port, tokens
        self._trace, self._takes_words = trace, takes_words
        self._wall_s, self._now_s = wall_s, now_s
        self._run = secrets.token_hex(3)
        self._said: deque[Words] = deque(maxlen=SAID)
        self._heard: deque[Words] = deque(maxlen=HEARD)
        self._said_count = self._heard_count = 0
        self._shown: Picture = {}
        self._ear: object = ()
        self._ear_at_s = self._chart_at_s = float("-inf")
        self._chart_moved = False
        self._fault = ""

    @property
    def address(self) -> str:
        """Where a browser finds it now: the token is that of today."""
        token = "" if self._tokens is None else f"{self._tokens.token(datetime.now())}/"
        return f"http://{self._host()}:{self._port}/{token}"

    @property
    def shared(self) -> bool:
        """Whether it can be seen from other devices."""
        return self._tokens is not None

    @property
    def readers(self) -> int:
        """How many look on now."""
        return self._server.readers

    @property
    def trouble(self) -> str:
        """What ended the board, or keeps it from showing what is; empty while all is well."""
        if self._server.fault or self._fault:
            return self._server.fault or self._fault
        return NO_NETWORK if self.shared and self._host() == LOOPBACK else ""

    def show(
        self,
        day_id: int,
        state: State,
        effects: Sequence[Effect],
        *,
        heard: Sequence[str],
        troubles: Sequence[str] = (),
    ) -> None:
        """Send what changed, if anything did; ``heard`` is everything taken in so far.

        Where that fails the page is told that it stands still, and :attr:`trouble` tells why.
        """
        self._take_in(state, effects, heard)
        try:
            self._show(day_id, state, effects, troubles)
        except Exception as error:
            # A day is not to end by what only shows it.
            fault = f"The board stands still ({error!r})."
            if fault != self._fault:
                self._fault = fault
                if self._shown:
                    self._server.show("picture", {**self._shown, "troubles": [fault]})
        else:
            self._fault = ""

    def _show(
        self, day_id: int, state: State, effects: Sequence[Effect], troubles: Sequence[str]
    ) -> None:
        self._trace.add(state)
        driven = self._pace.speed == 0
        moment = Moment(
            at_s=state.now_s if driven else self._pace.at(),
            wall_s=self._wall_s(),
            speed=self._pace.speed,
            offset_min=_offset_min(),
        )
        around = Around(
            run=self._run,
            day=day_id,
            takes_words=self._takes_words,
            said=tuple(self._said),
            heard=tuple(self._heard),
            troubles=tuple(troubles),
        )
        new = picture(state, moment, around)
        same = new.keys() - ({"wall_s"} if driven else {"at", "wall_s"})
        if self._fault or not self._shown or any(new[key] != self._shown[key] for key in same):
            self._shown = new
            self._server.show("picture", new)
        self._show_chart(state, effects)

    def hear(self, status: EarStatus | None) -> None:
        """Show what the ear does, so often that a meter seems to move."""
        if self._now_s() - self._ear_at_s < EAR_EVERY_S:
            return
        shown = None if status is None else _ear(status)
        if shown != self._ear:
            self._ear, self._ear_at_s = shown, self._now_s()
            self._server.show("ear", shown)

    def words(self) -> list[str]:
        """The words that came in by the board since the last time."""
        return self._server.words()

    def end_words(self) -> None:
        """Refuse words from now on: nobody will ask for them."""
        self._server.end_words()

    def _show_chart(self, state: State, effects: Sequence[Effect]) -> None:
        self._chart_moved = self._chart_moved or bool(effects)
        every_s = CHART_MOVES_S if self._chart_moved else CHART_EVERY_S
        if self._now_s() - self._chart_at_s >= every_s:
            self._chart_at_s, self._chart_moved = self._now_s(), False
            self._server.show("course", chart(state, self._trace))

    def _take_in(self, state: State, effects: Sequence[Effect], heard: Sequence[str]) -> None:
        for effect in effects:
            if isinstance(effect, Say | Refused):
                why = effect.why if isinstance(effect, Say) else Why.ANSWER
                self._said_count += 1
                self._said.append(
                    Words(
                        number=self._said_count,
                        at_s=state.now_s,
                        text=effect.text,
                        why=why.value,
                    )
                )
        for text in heard[self._heard_count :]:
            self._heard_count += 1
            self._heard.append(Words(number=self._heard_count, at_s=state.now_s, text=text))


def _ear(status: EarStatus) -> dict[str, object]:
    heard = listens(status)
    level, floor = (
        round(share(db) * METER_STEPS) / METER_STEPS if heard else 0.0
        for db in (status.level_db, status.floor_db)
    )
    return {"level": level, "floor": floor, "words": ear_state(status)}


def _offset_min() -> int:
    offset = datetime.now().astimezone().utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)
