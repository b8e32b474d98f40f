"""What was advised, asked, taken back and noted on a day, in words."""

from assistant.advice import figures
from assistant.day.incidents import incident_words
from assistant.record.page import Clock
from assistant.record.reporting.account import Account
from assistant.record.reporting.followed import Answer
from assistant.record.reporting.section import Paragraph, Section


def advice_section(account: Account, clock: Clock) -> Section:
    """What was found and chosen, and where that was to lead."""
    paragraphs = []
    for advice in account.advice:
        text = f"{figures.sentence(advice.finding)}. "
        if advice.chosen is None:
            text += f"Offered: {_quoted(advice.options)}. Not answered."
        else:
            text += f"Chosen: {advice.chosen}. Then: {advice.effect}."
            others = tuple(option for option in advice.options if option != advice.chosen)
            if others:
                text += f" Offered as well: {_quoted(others)}."
            if advice.recommended not in (None, advice.chosen):
                text += f" Recommended was: {advice.recommended}."
        at_s = advice.at_s if advice.chosen_s is None else advice.chosen_s
        paragraphs.append(Paragraph(head=clock.time(at_s), text=text))
    return Section(key="advice", title="Advice taken", paragraphs=tuple(paragraphs))


def _quoted(options: tuple[str, ...]) -> str:
    return ", ".join(f'"{option}"' for option in options)


ANSWER_WORDS = {
    Answer.YES: "Answered yes",
    Answer.NO: "Answered no",
    Answer.DROPPED: "Not answered",
    Answer.OPEN: "Still open",
}


def slip_section(account: Account, clock: Clock) -> Section:
    """What was asked about before it counted, and what was taken back."""
    told = [
        (
            asked.at_s,
            f"Asked: {asked.text} {ANSWER_WORDS[asked.answer]}"
            + ("." if asked.answered_s is None else f" at {clock.time(asked.answered_s)}."),
        )
        for asked in account.asked
    ] + [
        (back.at_s, f"Taken back: {back.what}, of {clock.time(back.done_s)}.")
        for back in account.taken_back
    ]
    paragraphs = [
        Paragraph(head=clock.time(at_s), text=text)
        for at_s, text in sorted(told, key=lambda each: each[0])
    ]
    return Section(key="slips", title="Asked and taken back", paragraphs=tuple(paragraphs))


def note_section(account: Account, clock: Clock) -> Section:
    """The brewer's own notes."""
    notes = [Paragraph(head=clock.time(note.at), text=note.text) for note in account.notes]
    return Section(key="notes", title="Notes", paragraphs=tuple(notes))


def incident_section(account: Account, clock: Clock) -> Section:
    """What befell the program itself."""
    told = [
        Paragraph(head=clock.time(incident.at), text=incident_words(incident))
        for incident in account.incidents
    ]
    return Section(key="incidents", title="The record and the clock", paragraphs=tuple(told))
