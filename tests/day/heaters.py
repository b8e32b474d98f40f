"""Strike water heated by a heater of any strength, read whenever it is asked for."""

from days import Driven, at_stage

from assistant.advice.timeline import Stage
from assistant.brewing.heat import temperature_after
from assistant.day.quantities import Quantity
from assistant.day.state import State
from assistant.day.timers import next_due_s
from assistant.schedule import Schedule


def water_c(state: State, seconds: float, strength: float) -> float:
    """Where so much of the card's heat brings the filled kettle from the tap's temperature."""
    kettle = state.card
    shown_c = temperature_after(
        capacity_j_k=state.batch.volume_l * 0.9982 * 4186 + kettle.heat_capacity_j_k,
        from_c=kettle.tap_water_c,
        seconds=max(seconds - 8, 0.0),
        power_w=strength * kettle.heater.reaches_w,
        loss_w_k=kettle.heat_loss_w_k,
        room_c=kettle.room_c,
    )
    return round(float(shown_c), 1)


def striking(schedule: Schedule) -> Driven:
    """A day whose strike water has just begun to heat, its tap water read."""
    day = at_stage(schedule, Stage.STRIKE).wait(10)
    return day.read(Quantity.WATER_TEMPERATURE, schedule.kettle.tap_water_c, "degC")


def read_when_asked(day: Driven, strength: float, times: int, wanted: Quantity) -> list[float]:
    """Answer so many questions for the water; gives when each was asked, in seconds of heating."""
    asked: list[float] = []
    while len(asked) < times and day.state.stage is Stage.STRIKE:
        due_s = next_due_s(day.state)
        assert due_s is not None
        day.wait(due_s - day.at)
        if any(ask.quantity is wanted for ask in day.state.asks):
            heated_s = day.at - day.state.stage_at_s
            asked.append(heated_s)
            day.wait(15)
            day.read(wanted, water_c(day.state, heated_s + 15, strength), "degC")
    return asked
