"""Days of beers and kettles nobody would choose: nothing in the sums may stop a day."""

from any_steps import ANY_STEPS, event_of
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from assistant.advice.plan import make_plan
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.day.advance import BEYOND_THE_SUMS, advance
from assistant.day.effects import Refused
from assistant.day.events import DayBegan
from assistant.day.state import new_day
from assistant.day.turn import MOST_WORDS
from assistant.schedule import Schedule, ScheduleError, load_text


@st.composite
def beers(draw: st.DrawFn) -> Schedule:
    """A schedule the loader accepts, from the whole span of what it accepts."""

    def one(low: float, high: float) -> float:
        return round(draw(st.floats(min_value=low, max_value=high)), 3)

    volume_l = draw(st.sampled_from([1.0, 5.0, 20.0, 60.0, 100.0]))
    boil_min = draw(st.sampled_from([1, 15, 60, 90, 180]))
    rests = sorted(one(35, 78) for _ in range(draw(st.integers(1, 3))))
    at = draw(
        st.sampled_from(
            [f"{boil_min} min", "boil start", "first wort", "flameout", "whirlpool", "0 min"]
        )
    )
    method = draw(st.sampled_from(["coil", "ice bath", "top-up"]))
    top_up_l = round(volume_l * draw(st.sampled_from([0.1, 0.4])), 3) if method == "top-up" else 0
    text = f"""
beer: odd
volume: {volume_l} L
units: {draw(st.sampled_from(["metric", "us"]))}
kettle: {{holds: {round(volume_l * one(1.0, 3.0), 2)} L,
  heater: {{kind: {draw(st.sampled_from(["electric", "gas"]))}, power: {one(1, 9)} kW}},
  boil_off: {one(0.5, 8)} L/h, left_behind: {one(0, 3)} L, absorption: {one(0.2, 1.2)} L/kg,
  room: {one(0, 40)} degC, tap_water: {one(1, 30)} degC, altitude: {one(-400, 4500)} m}}
grist: [{{malt: m, weight: {round(volume_l * one(0.02, 0.5), 3)} kg, extract: {one(20, 90)} %}}]
mash: [{", ".join(f"{{at: {t} degC, for: 20 min}}" for t in rests)}]
boil: {{for: {boil_min} min}}
additions: [{{add: h, weight: {one(0.5, 200)} g, alpha: {one(0, 20)} %, at: {at}}},
  {{add: s, kind: sugar, weight: {one(1, 900)} g, at: 0 min}}]
chill: {{to: {one(8, 30)} degC, method: {method}, top_up: {top_up_l} L}}
yeast: {{attenuation: {one(50, 90)} %}}
"""
    try:
        return load_text(text, "odd.yaml")
    except ScheduleError:
        assume(False)
        raise


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(beer=beers(), taken=ANY_STEPS)
def test_no_figure_of_any_beer_stops_the_day(beer: Schedule, taken: list) -> None:
    try:
        plan = make_plan(beer)
    except (NeverReaches, OutOfRange):
        return
    state, _ = advance(new_day(beer, plan), DayBegan(at=0))
    for step in taken:
        state, effects = advance(state, event_of(state, step))
        refusals = [effect.text for effect in effects if isinstance(effect, Refused)]
        assert not any(text.startswith(BEYOND_THE_SUMS) for text in refusals), refusals
        assert len(state.reason.split()) <= MOST_WORDS, state.reason
