"""What a screen reader is told of a page, shown by hand what it may have missed."""

from board.served import served
from playwright.sync_api import Page
from screen.screen_days import MASHING, brewed

from assistant.board.picture import Around, Moment, Picture, Words, picture

TOLD = """() => {
    window.told = [];
    const noted = (changes) => {
        for (const change of changes)
            for (const node of change.addedNodes) window.told.push(node.textContent);
    };
    for (const id of ["spoken-now", "spoken"])
        new MutationObserver(noted).observe(document.getElementById(id), {childList: true});
}"""


def said(*ages_s: float, first: int = 0) -> Picture:
    """A picture in which so many things were said, each so long ago."""
    state, _ = brewed(MASHING)
    words = [
        Words(number=number, at_s=state.now_s - age_s, text=f"Stir {number}.", why="reminder")
        for number, age_s in enumerate(ages_s, first)
    ]
    moment = Moment(at_s=state.now_s, wall_s=1_780_000_000.0, speed=1, offset_min=0)
    return picture(state, moment, Around(run="r", day=1, said=words))


def told_of(page: Page, *pictures: Picture) -> list[str]:
    """What is read out while these are shown, the first of them as the page opens."""
    opening, *others = pictures
    with served() as board:
        board.server.show("picture", opening)
        page.goto(f"http://{board.host}/")
        page.wait_for_selector("#said li")
        page.evaluate(TOLD)
        for shown in others:
            board.server.show("picture", shown)
            last = shown["said"][-1]["text"]
            page.locator("#said").get_by_text(last).wait_for()
        told: list[str] = page.evaluate("window.told")
    return told


def test_what_is_said_in_one_breath_is_read_out_whole_and_once(page: Page) -> None:
    shown = said(10, 5, 1, 0)
    assert told_of(page, said(10), shown, shown) == ["Stir 1.", "Stir 2.", "Stir 3."]


def test_after_an_absence_only_the_newest_is_read_out_of_what_is_long_past(page: Page) -> None:
    assert told_of(page, said(4000), said(3600, 2400, 1200, 600, first=1)) == ["Stir 4."]


def test_after_an_absence_what_was_just_said_is_read_out_too(page: Page) -> None:
    assert told_of(page, said(4000), said(3600, 1200, 20, 5, first=1)) == ["Stir 3.", "Stir 4."]
