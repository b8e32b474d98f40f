"""What the loop of a day needs of a board, and the board that nobody looks at."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from assistant.board.chart import Trace
from assistant.day.effects import Effect
from assistant.day.state import State
from assistant.voice_news import EarStatus


@dataclass(frozen=True, kw_only=True)
class Pace:
    """The clock of the day the board shows: ``at`` tells its second now, and ``speed`` how many
    pass in one of the wall clock's. 0: another program drives it.
    """

    at: Callable[[], float]
    speed: float


@dataclass(frozen=True, kw_only=True)
class BoardWanted:
    """What the brewer asked for: a board other devices can see if ``share``, a ``port`` or None
    for the usual one, and the ``folder`` of the record, which keeps a shared board's secret.
    """

    share: bool
    port: int | None
    folder: Path


class DayBoard(Protocol):
    """What the loop needs of a board; see :class:`~assistant.live_board.LiveBoard`."""

    @property
    def address(self) -> str:
        """Where a browser finds it now; empty where there is none."""
        ...

    @property
    def shared(self) -> bool:
        """Whether it can be seen from other devices."""
        ...

    @property
    def readers(self) -> int:
        """How many look on now."""
        ...

    @property
    def trouble(self) -> str:
        """Why there is none, or none any more, in a line; empty while all is well."""
        ...

    def show(
        self,
        day_id: int,
        state: State,
        effects: Sequence[Effect],
        *,
        heard: Sequence[str],
        troubles: Sequence[str] = (),
    ) -> None:
        """Show a state and what it came to; ``heard`` is everything taken in so far."""
        ...

    def hear(self, status: EarStatus | None) -> None:
        """Show what the ear does; to be called often."""
        ...

    def words(self) -> list[str]:
        """The words that came in by the board since the last time."""
        ...

    def end_words(self) -> None:
        """Refuse words from now on: nobody will ask for them."""
        ...


class NoBoard:
    """A day without a board: nothing is shown, and nothing ever comes in.

    ``trouble`` says why, where one was wanted.
    """

    address, shared, readers = "", False, 0

    def __init__(self, trouble: str = "") -> None:
        self.trouble = trouble

    def show(
        self,
        day_id: int,
        state: State,
        effects: Sequence[Effect],
        *,
        heard: Sequence[str],
        troubles: Sequence[str] = (),
    ) -> None:
        """Nothing is shown."""

    def hear(self, status: EarStatus | None) -> None:
        """Nothing is shown."""

    def words(self) -> list[str]:
        """Never any."""
        return []

    def end_words(self) -> None:
        """There never were any."""


@contextmanager
def opened_board(
    wanted: BoardWanted | None, pace: Pace, trace: Trace, *, takes_words: bool
) -> Iterator[tuple[DayBoard, tuple[str, ...]]]:
    """The board that is wanted, for as long as the context lasts, and lines that tell of it.

    ``trace`` is what the kettle went through so far.
    """
    if wanted is None:
        yield NoBoard(), ()
        return
    from assistant.board_setup import live_board

    with live_board(wanted, pace, trace, takes_words=takes_words) as opened:
        yield opened
