"""The computer's clocks, moved by a test: time passes, the wall clock is set, the lid is shut."""

from dataclasses import dataclass

from assistant.day_clock import Clocks


@dataclass
class Hands:
    """What the clocks show, in seconds."""

    steady: float = 1000.0
    wall: float = 1_700_000_000.0

    def pass_(self, seconds: float) -> None:
        """Time passes, whether anyone looks or not."""
        self.steady += seconds
        self.wall += seconds

    def set(self, seconds: float) -> None:
        """Somebody sets the wall clock forward, or back."""
        self.wall += seconds

    def steady_s(self) -> float:
        """The clock that nobody can set."""
        return self.steady

    @property
    def clocks(self) -> Clocks:
        """For a :class:`~assistant.day_clock.DayClock`."""
        return Clocks(steady_s=self.steady_s, wall_s=lambda: self.wall)
