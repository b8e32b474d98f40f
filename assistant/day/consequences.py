"""What follows from a reading once it is on the record, by quantity and stage."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from assistant.advice import figures
from assistant.advice.actions import Do, Finding
from assistant.advice.batch import Place, gravity_now, volume_now_l
from assistant.advice.batch_readings import with_gravity, with_temperature, with_volume
from assistant.advice.cold_remedies import pitch_finding
from assistant.advice.conversion import conversion_finding
from assistant.advice.mash_minerals import ph_finding
from assistant.advice.mash_remedies import mash_finding, strike_finding
from assistant.advice.mash_water import HIGHEST_PH, LOWEST_PH, WAIT_MINUTES, side_of
from assistant.advice.targets import BOILING_K, COLD_ENOUGH_K
from assistant.advice.timeline import Stage
from assistant.brewing.errors import OutOfRange
from assistant.brewing.gravity import gravity_from_plato
from assistant.brewing.refractometer import plato_from_brix
from assistant.day import boil_side, boil_up, cold_side, hot_side, mash, striking
from assistant.day.effects import Why
from assistant.day.flow import task_done
from assistant.day.outlook import displaced_at_20_l, grain_is_in
from assistant.day.quantities import Quantity
from assistant.day.rests import current_rest, rest_left_s, rest_name
from assistant.day.stages import Trigger
from assistant.day.state import Reading, State, Task
from assistant.day.strike_water import acid_in_ml, mixing
from assistant.day.striking import REACHED_K
from assistant.day.turn import Turn
from assistant.day.watching import tell_how_long, watch_heating
from assistant.schedule.model import Schedule

PH_FAR = 0.5
"""Further off than this a pH is likelier a fault of the meter than of the mash."""

PH_LATER_MIN = 5.0
"""A pH is asked for again after this where a temperature had to be put right first."""

NEARLY_K = 0.2
"""So near below what it is heated to a mash is there."""


def follow_up(turn: Turn, reading: Reading, *, asked: bool) -> None:
    """Carry a reading into the batch and do what it calls for."""
    CONSEQUENCES[reading.quantity](turn, reading, asked)


def believe(turn: Turn, reading: Reading) -> None:
    """Carry a temperature of the kettle into the batch, and do nothing about it."""
    if CONSEQUENCES[reading.quantity] is _kettle_content:
        _read_temperature(turn, reading.value)


def _kettle_content(turn: Turn, reading: Reading, asked: bool) -> None:
    _read_temperature(turn, reading.value)
    rule = BY_STAGE.get(turn.state.stage)
    if rule is not None:
        rule(turn, reading.value, asked)


def _read_temperature(turn: Turn, warm_c: float) -> None:
    state = turn.state
    turn.learn(with_temperature(state.batch, state.schedule, warm_c, turn.now_s))


def _read_volume(turn: Turn, litres: float) -> None:
    state = turn.state
    turn.learn(
        with_volume(state.batch, state.schedule, litres, turn.now_s, confirmed=turn.confirmed)
    )


def _strike(turn: Turn, water_c: float, asked: bool) -> None:
    state = turn.state
    target_c = hot_side.strike_target_c(state)
    heating = _open(turn, Do.HEAT)
    if water_c >= target_c - REACHED_K:
        finding = strike_finding(state.schedule, state.batch, target_c, water_c, state.now_s)
        _offer(turn, finding)
        if heating:
            task_done(turn, heating)
    elif heating:
        _heats_on(turn, Quantity.WATER_TEMPERATURE, target_c, asked)


def _mash(turn: Turn, mash_c: float, asked: bool) -> None:
    state = turn.state
    rest = current_rest(state)
    heating = _open(turn, Do.HEAT)
    if heating:
        to_c = heating.action.to_c or rest.temperature_c
        if mash_c >= to_c - NEARLY_K:
            task_done(turn, heating)
        else:
            _heats_on(turn, Quantity.MASH_TEMPERATURE, to_c, asked)
            return
    if not turn.has_task(Do.HEAT_FOR, Do.ADD_WATER):
        believed_c = state.batch.temperature_c
        _offer(turn, mash_finding(state.schedule, state.batch, rest, believed_c, state.now_s))
        mash.hold_rest(turn)


def _heats_on(turn: Turn, quantity: Quantity, to_c: float, asked: bool) -> None:
    if asked:
        tell_how_long(turn, quantity, to_c)
    else:
        watch_heating(turn, quantity, to_c)


def _boil_up(turn: Turn, kettle_c: float, asked: bool) -> None:
    if kettle_c >= turn.state.plan.boiling_point_c - BOILING_K:
        turn.lead(Trigger.COMPLETED)
        return
    boil_up.watch_for_boil(turn)


def _cooling(turn: Turn, kettle_c: float, asked: bool) -> None:
    task = _open(turn, Do.CHILL)
    if task is None:
        return
    target_c = task.action.to_c or 0.0
    if kettle_c <= target_c + COLD_ENOUGH_K:
        task_done(turn, task)
    elif asked:
        minutes = boil_side.chill_minutes(turn.state, kettle_c, target_c)
        hot_side.still_heating(turn, Quantity.KETTLE_TEMPERATURE, minutes)


BY_STAGE: Mapping[Stage, Callable[[Turn, float, bool], None]] = {
    Stage.STRIKE: _strike,
    Stage.MASH: _mash,
    Stage.BOIL_UP: _boil_up,
    Stage.WHIRLPOOL: _cooling,
    Stage.CHILL: _cooling,
}


def _fermenter_temperature(turn: Turn, reading: Reading, asked: bool) -> None:
    if turn.state.stage is Stage.PITCH:
        _read_temperature(turn, reading.value)
        state = turn.state
        _offer(turn, pitch_finding(state.schedule, reading.value, state.batch.volume_l))


def _room(turn: Turn, reading: Reading, asked: bool) -> None:
    """The room as read takes the place of the card's figure for the rest of the day."""
    schedule = turn.state.schedule
    turn.change(schedule=_with_kettle(schedule, room_c=reading.value))
    if turn.state.stage is Stage.STRIKE:
        striking.strike_again(turn)


def _with_kettle(schedule: Schedule, *, room_c: float) -> Schedule:
    return replace(schedule, kettle=replace(schedule.kettle, room_c=room_c))


def _top_up_temperature(turn: Turn, reading: Reading, asked: bool) -> None:
    state = turn.state
    task = _open(turn, Do.TOP_UP)
    litres = task.action.litres if task else state.schedule.chill.top_up_l
    if not litres:
        return
    mixed_c = cold_side.mixed_c(state.batch, litres, reading.value)
    turn.say(f"That makes {figures.temperature(mixed_c, turn.units)}.", Why.ANSWER)


def _kettle_volume(turn: Turn, reading: Reading, asked: bool) -> None:
    state = turn.state
    if state.batch.place is Place.FERMENTER:
        return
    litres = reading.value
    if grain_is_in(state):
        litres -= displaced_at_20_l(state)
    before_l = state.batch.volume_l if state.batch.volume_read else None
    _read_volume(turn, max(litres, 0.1))
    if state.stage in (Stage.GATHER, Stage.STRIKE):
        striking.judge_fill(turn, litres, before_l)
    _judge_wort(turn)


def _fermenter_volume(turn: Turn, reading: Reading, asked: bool) -> None:
    transfer = _open(turn, Do.TRANSFER)
    if transfer:
        task_done(turn, transfer)
        turn.answered(Quantity.FERMENTER_VOLUME)
    state = turn.state
    if state.batch.place is Place.FERMENTER:
        _read_volume(turn, reading.value)
        _judge_wort(turn)


def _gravity(turn: Turn, reading: Reading, asked: bool) -> None:
    _wort_gravity(turn, reading.value)


def _brix(turn: Turn, reading: Reading, asked: bool) -> None:
    turn.answered(Quantity.GRAVITY)
    try:
        correction = turn.state.schedule.kettle.wort_correction
        gravity = gravity_from_plato(plato_from_brix(reading.value, correction))
    except OutOfRange:
        turn.say("That is past what a gravity can be made of. Thin the sample.", Why.ANSWER)
        return
    turn.say(f"{figures.gravity(gravity)}.", Why.ANSWER)
    _wort_gravity(turn, gravity)


def _wort_gravity(turn: Turn, gravity: float) -> None:
    state = turn.state
    if state.stage in (Stage.GATHER, Stage.STRIKE, Stage.DOUGH_IN):
        return
    expected = gravity_now(state.batch, state.schedule, turn.now_s)
    turn.learn(
        with_gravity(state.batch, state.schedule, gravity, turn.now_s, confirmed=turn.confirmed)
    )
    if state.stage is Stage.MASH and rest_left_s(state) is not None:
        _offer(turn, conversion_finding(current_rest(state), gravity, expected))
    _judge_wort(turn)


def _judge_wort(turn: Turn) -> None:
    if turn.state.stage in (Stage.BOIL_UP, Stage.BOIL, Stage.TRANSFER, Stage.PITCH):
        boil_side.judge_wort(turn)


def _ph(turn: Turn, reading: Reading, asked: bool) -> None:
    state = turn.state
    if mixing(state):
        return
    if state.advice is not None and state.advice.finding.about in TEMPERATURES:
        hot_side.ask_in(turn, Quantity.MASH_PH, PH_LATER_MIN)
    elif _can_be_cured(state):
        water_l = volume_now_l(state.batch, state.schedule.kettle, state.now_s)
        acid_ml = acid_in_ml(state)
        finding = ph_finding(state.schedule, water_l, reading.value, acid_in_ml=acid_ml)
        if finding is not None:
            _offer(turn, finding)
            return
    side = side_of(reading.value)
    if side:
        off = max(LOWEST_PH - reading.value, reading.value - HIGHEST_PH)
        how = "A little" if off < PH_FAR else "Far too"
        word = "low" if side < 0 else "high"
        usual = f"{LOWEST_PH} to {HIGHEST_PH}"
        turn.say(f"{how} {word}: {usual} is usual, in a cooled sample.", Why.ANSWER)


def _can_be_cured(state: State) -> bool:
    """Whether what is stirred in now still does its work: in a rest with time left."""
    if state.stage is not Stage.MASH or current_rest(state).temperature_c >= mash.MASH_OUT_C:
        return False
    timer = state.timer(rest_name(current_rest(state)))
    return timer is not None and timer.due_s - state.now_s >= WAIT_MINUTES * 60


def _boiling(turn: Turn, reading: Reading, asked: bool) -> None:
    if reading.value:
        turn.lead(Trigger.BOILING)
    elif turn.state.stage is Stage.BOIL_UP:
        boil_up.not_boiling_yet(turn)


def _nothing(turn: Turn, reading: Reading, asked: bool) -> None:
    return


CONSEQUENCES: Mapping[Quantity, Callable[[Turn, Reading, bool], None]] = {
    Quantity.WATER_TEMPERATURE: _kettle_content,
    Quantity.MASH_TEMPERATURE: _kettle_content,
    Quantity.KETTLE_TEMPERATURE: _kettle_content,
    Quantity.ROOM_TEMPERATURE: _room,
    Quantity.TOP_UP_TEMPERATURE: _top_up_temperature,
    Quantity.FERMENTER_TEMPERATURE: _fermenter_temperature,
    Quantity.KETTLE_VOLUME: _kettle_volume,
    Quantity.FERMENTER_VOLUME: _fermenter_volume,
    Quantity.GRAVITY: _gravity,
    Quantity.BRIX: _brix,
    Quantity.MASH_PH: _ph,
    Quantity.SLURRY_VOLUME: _nothing,
    Quantity.BOILING: _boiling,
}


def _offer(turn: Turn, finding: Finding | None) -> None:
    """Offer a finding unless it was waived, or is open already; withdraw one that is past."""
    advice = turn.state.advice
    if finding is None:
        if advice is not None and advice.finding.about in TEMPERATURES:
            turn.change(advice=None)
        return
    if finding.about in turn.state.waived:
        return
    if advice is not None and advice.finding.finding == finding.finding:
        return
    if advice is not None and advice.finding.about == PH:
        if finding.about == PH:
            return
        hot_side.ask_in(turn, Quantity.MASH_PH, PH_LATER_MIN)
    turn.advise(finding)


PH = Quantity.MASH_PH.value


TEMPERATURES = ("water_temperature", "mash_temperature", "fermenter_temperature")


def _open(turn: Turn, do: Do) -> Task | None:
    return next((task for task in turn.state.tasks if task.action.do is do), None)
