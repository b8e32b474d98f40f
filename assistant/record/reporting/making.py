"""Making the account of a day from its record."""

from collections.abc import Iterable
from dataclasses import replace

from assistant.advice.batch import Place
from assistant.advice.forecast import Forecast, end_of, make_forecast
from assistant.advice.happenings import at_moment
from assistant.advice.kettle import fresh_belief
from assistant.advice.learned import Trait
from assistant.advice.planned_course import planned_course
from assistant.advice.timeline import Stage
from assistant.advice.wort_options import ADD_EXTRACT
from assistant.advice.worts import brewhouse_share, potential_extract_kg
from assistant.brewing.errors import NeverReaches, OutOfRange
from assistant.brewing.fermentation import abv_percent, final_gravity
from assistant.cellar.beer import beer_of
from assistant.cellar.events import BeerEvent, brewing_of, visits_of
from assistant.cellar.state import new_beer
from assistant.day.course import expected_targets, marks
from assistant.day.events import Source
from assistant.day.outlook import prospect
from assistant.day.quantities import Quantity
from assistant.day.state import Fate, State
from assistant.day.teaching import learned_kettle
from assistant.record.beers import tended, zero_wall_s
from assistant.record.errors import RecordError
from assistant.record.journal import Day, Journal
from assistant.record.reporting.account import (
    Account,
    AdviceAccount,
    Figure,
    Known,
    Outcome,
    Taught,
)
from assistant.record.reporting.additions import addition_accounts, stirred_in
from assistant.record.reporting.deviations import deviations
from assistant.record.reporting.fermentation import Fermentation
from assistant.record.reporting.fermenting import fermentation_of
from assistant.record.reporting.followed import Followed, SeenReading
from assistant.record.reporting.following import followed_through
from assistant.record.reporting.reasons import bitterness_reasons, wort_reasons
from assistant.record.reporting.stages import began_s, ended_s, milestones, stages_spent
from assistant.schedule.model import Moment, Schedule, Units


def account_on_record(journal: Journal, day_id: int, units: Units | None = None) -> Account | None:
    """The account of a day by its number, to be shown in these units, or the day's own.

    None for a day that is not on record. Raises :class:`~assistant.record.errors.RecordError`
    for one that can't be read.
    """
    day = journal.day(day_id)
    if day is None:
        return None
    last = journal.last(day_id)
    return account_of_events(
        day,
        journal.schedule(day_id),
        journal.all_events(day_id),
        units,
        zero_wall_s=None if last is None else zero_wall_s(day, last),
    )


def account_of_events(
    day: Day,
    schedule: Schedule,
    events: Iterable[BeerEvent],
    units: Units | None = None,
    *,
    zero_wall_s: float | None = None,
) -> Account:
    """The account of a day from all its events, to be shown in these units, or in its own.

    ``zero_wall_s`` is when its second 0 was, in Unix seconds, for what came weeks later; None for
    when it began. What was said on the day stays in the words it was said in. Raises
    :class:`~assistant.record.errors.RecordError` where the events lead nowhere.
    """
    events = tuple(events)
    state, followed = followed_through(schedule, brewing_of(events))
    visits = visits_of(events)
    if units is not None:
        state = replace(state, schedule=replace(state.schedule, units=units))
    try:
        account = account_of(day, state, followed)
        beer = beer_of(state) if visits else None
        if beer is None:
            return account
        # By the units of the day, which say what bottles it was counted in; then in those shown.
        kept = tended(new_beer(schedule, beer), visits)
        kept = replace(kept, schedule=replace(schedule, units=state.schedule.units))
        wall_s = day.began_wall if zero_wall_s is None else zero_wall_s
        return with_fermentation(account, fermentation_of(kept, state.plan, wall_s))
    except (OutOfRange, NeverReaches) as error:
        raise RecordError(
            f"day {day.id} on record comes to nothing that adds up: {error}"
        ) from error


def account_of(day: Day, state: State, followed: Followed | None = None) -> Account:
    """The account of a day from its last state and what was seen on the way.

    Without the latter it lacks what only the way tells: slips, questions, the rests, the course.
    """
    seen = followed or Followed(
        readings=tuple(SeenReading(reading=r, source=Source.WORDS) for r in state.readings)
    )
    schedule = replace(state.schedule, kettle=state.card)
    ahead = prospect(state)
    made = make_forecast(state.batch, state.schedule, ahead, state.now_s)
    now = at_moment(state.batch, state.schedule.kettle, state.now_s)
    end = end_of(now, state.schedule, ahead, state.now_s)
    additions = addition_accounts(state, ahead, end)
    reasons = (
        *wort_reasons(state, seen, made, ahead),
        *bitterness_reasons(state, additions, made, ahead),
    )
    taught = _taught(state)
    return Account(
        day=day,
        schedule=schedule,
        plan=state.plan,
        began_s=began_s(state),
        ended_s=ended_s(state),
        outcomes=_outcomes(state, made),
        reasons=reasons,
        milestones=milestones(state),
        stages=stages_spent(state),
        planned_course=tuple(
            replace(point, at_s=point.at_s + began_s(state))
            for point in planned_course(schedule, state.plan)
        ),
        targets=expected_targets(state),
        marks=marks(state),
        believed=seen.believed,
        held=seen.held,
        readings=seen.readings,
        additions=additions,
        stirred=stirred_in(state),
        advice=_advice(state, seen),
        deviations=deviations(state, additions, seen.held, taught, reasons),
        brews=learned_kettle(state).brews,
        taught=taught,
        asked=seen.asked,
        taken_back=seen.taken_back,
        notes=state.notes,
        incidents=state.incidents,
    )


def with_fermentation(account: Account, fermentation: Fermentation) -> Account:
    """The account with what became of the beer, and what that alone tells of it."""
    outcomes = account.outcomes
    if fermentation.final_gravity is not None:
        outcomes = tuple(
            replace(outcome, reached=fermentation.abv_percent, known=Known.READ)
            if outcome.figure is Figure.ALCOHOL
            else outcome
            for outcome in outcomes
        )
    done = {each.name: each for each in fermentation.tended if each.done_s is not None}
    additions = tuple(
        replace(line, fate=Fate.LEFT_OUT)
        if line.addition.moment is Moment.DAY and line.name in done and done[line.name].left_out
        else replace(line, fate=Fate.IN, in_s=done[line.name].done_s)
        if line.addition.moment is Moment.DAY and line.name in done
        else line
        for line in account.additions
    )
    return replace(account, outcomes=outcomes, additions=additions, fermentation=fermentation)


def _outcomes(state: State, made: Forecast) -> tuple[Outcome, ...]:
    plan = state.plan
    volume_read = _read_in_fermenter(state, Quantity.FERMENTER_VOLUME)
    gravity_read = _read_in_fermenter(state, Quantity.GRAVITY, Quantity.BRIX)
    over = state.batch.place is Place.FERMENTER
    reckoned = Known.RECKONED if over else Known.EXPECTED
    with_extract = any(taken.say == ADD_EXTRACT for taken in state.taken)
    share = None if with_extract else _share(state, made.fermenter_volume_l, made.original_gravity)
    return (
        Outcome(
            figure=Figure.VOLUME,
            planned=plan.fermenter_volume_l,
            reached=made.fermenter_volume_l,
            known=Known.READ if volume_read else reckoned,
        ),
        Outcome(
            figure=Figure.GRAVITY,
            planned=plan.original_gravity,
            reached=made.original_gravity,
            known=Known.READ if gravity_read else reckoned,
        ),
        Outcome(
            figure=Figure.BITTERNESS,
            planned=plan.ibu,
            reached=made.ibu,
            known=reckoned,
        ),
        Outcome(
            figure=Figure.ALCOHOL,
            planned=plan.abv_percent,
            reached=_abv_percent(state, made.original_gravity),
            known=Known.EXPECTED,
        ),
        Outcome(
            figure=Figure.EXTRACT,
            planned=_share(state, plan.fermenter_volume_l, plan.original_gravity),
            reached=share,
            known=Known.IN_FERMENTER if over else Known.EXPECTED,
        ),
    )


def _share(state: State, volume_l: float, gravity: float) -> float | None:
    """What the fermenter holds of the grist's extract, in percent."""
    try:
        return 100 * brewhouse_share(state.schedule, volume_l=volume_l, gravity=gravity)
    except OutOfRange:
        return None


def _read_in_fermenter(state: State, *quantities: Quantity) -> bool:
    moved_s = next((r.at for r in reversed(state.reached) if r.stage is Stage.TRANSFER), None)
    return moved_s is not None and any(
        reading.quantity in quantities and reading.at >= moved_s for reading in state.readings
    )


def _abv_percent(state: State, original_gravity: float) -> float | None:
    """Alcohol to expect of a gravity, with the schedule's yeast and the plan's share of sugar.

    Sugar that goes into the fermenter is counted in as planned.
    """
    plan = state.plan
    original_gravity += plan.fermented_gravity - plan.original_gravity
    try:
        finish = final_gravity(
            original_gravity=original_gravity,
            attenuation=state.schedule.yeast.attenuation,
            sugar_share=plan.sugar_share,
        )
        return abv_percent(original_gravity, finish)
    except OutOfRange:
        return None


def _advice(state: State, seen: Followed) -> tuple[AdviceAccount, ...]:
    """What was taken, each with its offer, and what was offered and never answered."""
    offers = list(seen.offered)
    found: list[AdviceAccount] = []
    for taken in state.taken:
        place = next(
            (
                place
                for place in reversed(range(len(offers)))
                if offers[place].at_s <= taken.at and offers[place].offer.finding == taken.finding
            ),
            None,
        )
        offered = None if place is None else offers.pop(place)
        found.append(
            AdviceAccount(
                at_s=taken.at if offered is None else offered.at_s,
                about=taken.about,
                finding=taken.finding,
                options=() if offered is None else tuple(o.say for o in offered.offer.options),
                recommended=None if offered is None else offered.offer.recommended,
                chosen=taken.say,
                chosen_s=taken.at,
                effect=taken.effect,
            )
        )
    answered = {advice.finding for advice in found}
    for offered in offers:
        offer = offered.offer
        if offer.finding not in answered:
            answered.add(offer.finding)
            found.append(
                AdviceAccount(
                    at_s=offered.at_s,
                    about=offer.about,
                    finding=offer.finding,
                    options=tuple(option.say for option in offer.options),
                    recommended=offer.recommended,
                    chosen=None,
                    chosen_s=None,
                    effect=None,
                )
            )
    return tuple(sorted(found, key=lambda advice: advice.chosen_s or advice.at_s))


def _taught(state: State) -> tuple[Taught, ...]:
    """Each figure of the kettle as it is believed to be by now, if the day has begun."""
    if not state.begun:
        return ()
    kept_l = state.card.absorption_l_kg * state.schedule.grain_kg
    before = fresh_belief(
        state.card,
        state.learned,
        potential_kg=potential_extract_kg(state.schedule),
        kept_share=min(kept_l / state.plan.strike_volume_l, 0.9),
        strike_l=state.plan.strike_volume_l,
    )
    learned = learned_kettle(state).figures
    return tuple(
        Taught(
            trait=trait,
            card=learned[trait].card,
            before=before.value(trait),
            before_spread=before.spread(trait),
            value=learned[trait].value,
            spread=learned[trait].spread,
        )
        for trait in Trait
    )
