"""The board in a true browser, on a true day: what is seen across the room and touched."""

import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from axe_playwright_python.sync_playwright import Axe
from board.brewed import AMBER, Brewed, brewed, free_port
from playwright.sync_api import Browser, Page, expect

from assistant.board.server import BoardServer, listening_socket
from assistant.board.stream import BEAT_S

QUICK = ("--speed", "30")

WCAG = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }
}

FINGER_PX = 15 / 25.4 * 96
"""15 mm in CSS pixels (CSS Values 4: 96 to the inch)."""


def says(page: Page, words: str) -> None:
    page.get_by_label("Anything else").fill(words)
    page.get_by_label("Anything else").press("Enter")


def seconds_of(page: Page) -> int:
    """What the countdown shows."""
    shown = page.locator("#figures").inner_text()
    parts = [int(part) for part in shown.split(":")]
    return sum(part * 60**power for power, part in enumerate(reversed(parts)))


def test_the_countdown_runs_down_to_now_and_the_reminder_is_heard_once(
    page: Page, tmp_path: Path
) -> None:
    with brewed(tmp_path, *QUICK) as day:
        page.goto(day.address)
        page.evaluate(
            """() => {
                window.heard = [];
                new MutationObserver((changes) => {
                    for (const change of changes)
                        for (const node of change.addedNodes) window.heard.push(node.textContent);
                }).observe(document.getElementById("spoken-now"), {childList: true, subtree: true});
            }"""
        )
        says(page, "two minute timer for the yeast")
        expect(page.locator("#headline-label")).to_contain_text("yeast", ignore_case=True)
        first = seconds_of(page)
        assert 60 < first <= 120
        page.wait_for_timeout(400)
        assert seconds_of(page) < first
        expect(page.locator("#figures")).to_have_text("NOW", timeout=15_000)
        expect(page.locator("#headline-label")).to_contain_text("time is up")
        for told in ("#headline-label", "#figures", "#headline-when"):
            expect(page.locator(told)).to_be_in_viewport(ratio=1)
        expect(page.locator("#said")).to_contain_text("time is up")
        heard = page.evaluate("window.heard")
        assert (
            len([words for words in heard if "time is up" in words and "Still" not in words]) == 1
        )
        expect(page).to_have_title(re.compile("^NOW"))


def test_advice_is_answered_by_touch(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        says(page, "grain is in")
        says(page, "mash temperature 61")
        expect(page.locator("#finding")).to_contain_text("degrees")
        option = page.locator("#options button").first
        expect(option).to_contain_text("Advised")
        option.tap()
        expect(page.locator("#advice")).to_be_hidden()
        expect(page.locator("#tasks")).to_contain_text("power")
        expect(page.locator("#last-shown")).to_have_text("61 °C")
        expect(page.locator("#target-wanted")).to_have_text("64 °C")


def test_a_question_is_answered_and_a_reading_taken_by_touch(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        says(page, "grain is in")
        page.locator("#quantity").select_option("kettle volume")
        page.locator("#value").fill("2")
        page.locator("#reading-form").get_by_role("button").tap()
        expect(page.locator("#question-text")).to_contain_text("2 litres")
        page.locator("#answers").get_by_role("button", name="no").tap()
        expect(page.locator("#question")).to_be_hidden()


def test_a_word_touched_twice_by_a_wet_finger_is_said_once(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        heard = page.locator("#heard li")
        page.get_by_role("button", name="done").tap()
        page.wait_for_timeout(200)
        page.get_by_role("button", name="skip").tap()
        expect(heard).to_have_text(["done"])
        page.wait_for_timeout(800)
        expect(heard).to_have_text(["done"])
        page.get_by_role("button", name="skip").tap()
        expect(heard).to_have_text(["skip", "done"])


def test_words_that_mean_nothing_are_answered_on_the_page(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        says(page, "sing a song")
        expect(page.locator("#said")).to_contain_text('I did not understand "sing a song"')
        expect(page.locator("#heard")).to_contain_text("sing a song")
        expect(page.get_by_label("Anything else")).to_have_value("")


def test_a_page_shows_how_old_it_is_when_the_day_dies_and_mends_when_that_goes_on(
    page: Page, tmp_path: Path
) -> None:
    port = free_port()
    with brewed(tmp_path, port=port) as day:
        page.goto(day.address)
        says(page, "grain is in")
        expect(page.locator("#headline-label")).to_contain_text("time left")
        page.get_by_label("Anything else").fill("half a word")
        day.dies()
        expect(page.locator("#lost")).to_be_visible(timeout=3_000)
        expect(page.locator("#lost-words")).to_contain_text("how it stood")
        expect(page.locator("#figures")).to_have_text("--:--")
        expect(page.locator("#headline-when")).to_contain_text("It was to be at")
        page.get_by_label("Anything else").press("Enter")
        expect(page.locator("#outcome")).to_contain_text("Not sent")
        expect(page.get_by_label("Anything else")).to_have_value("half a word")
    with brewed(tmp_path, port=port, first_lines=["y"]):
        expect(page.locator("#lost")).to_be_hidden(timeout=20_000)
        expect(page.locator("#headline-label")).to_contain_text("time left")
        assert 0 < seconds_of(page) <= 40 * 60
        expect(page.get_by_label("Anything else")).to_have_value("half a word")


def test_a_board_that_has_shown_nothing_yet_does_not_vouch_for_what_another_showed(
    page: Page, tmp_path: Path
) -> None:
    port = free_port()
    with brewed(tmp_path, port=port) as day:
        page.goto(day.address)
        says(page, "grain is in")
        expect(page.locator("#headline-label")).to_contain_text("time left")
        day.dies()
        expect(page.locator("#lost")).to_be_visible()
    listening = listening_socket(port, shared=False)
    starting = BoardServer(listening, at=lambda: 3.0, tokens=None, takes_words=True)
    starting.start()
    try:
        with page.expect_response("**/events", timeout=20_000):
            pass
        page.wait_for_timeout(BEAT_S * 1500)
        expect(page.locator("#lost")).to_be_visible()
        expect(page.locator("#figures")).to_have_text("--:--")
    finally:
        starting.close()


def test_a_page_tells_the_end_of_a_day_from_a_lost_connection(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        for words in (*MOMENTS["the end"], "all clean"):
            day.types(words)
        expect(page.locator("#headline-label")).to_have_text("The day is finished.")
        expect(page.locator("#lost-words")).to_have_text(
            "The day is finished, and its program has ended.", timeout=10_000
        )


def test_a_silent_network_is_noticed_though_nothing_was_closed(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        expect(page.locator("#figures")).to_contain_text(":")
        day.process.send_signal(signal.SIGSTOP)
        expect(page.locator("#lost")).to_be_visible(timeout=10_000)
        expect(page.locator("#figures")).to_have_text("--:--")
        day.process.send_signal(signal.SIGCONT)
        expect(page.locator("#lost")).to_be_hidden(timeout=20_000)


def test_a_device_whose_clock_stood_still_while_it_slept_does_not_believe_its_picture(
    page: Page, tmp_path: Path
) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        expect(page.locator("#figures")).to_contain_text(":")
        day.process.send_signal(signal.SIGSTOP)
        page.wait_for_timeout(200)
        page.evaluate(
            """() => {
                const [steady, wall] = [performance.now(), Date.now() + 3600e3];
                performance.now = () => steady;
                Date.now = () => wall;
                document.dispatchEvent(new Event("visibilitychange"));
            }"""
        )
        assert page.locator("#lost-words").inner_text().endswith("1 h 0 min ago")
        assert page.locator("#figures").inner_text() == "--:--"
        day.process.send_signal(signal.SIGCONT)
        expect(page.locator("#lost")).to_be_hidden(timeout=20_000)


HOSTILE = '<img src=x onerror="harmed=1"><script>harmed=1</script>'


def hostile_schedule(folder: Path) -> Path:
    """The sample with markup for names."""
    schedule = yaml.safe_load(AMBER.read_text())
    schedule["kettle"] = yaml.safe_load((AMBER.parent / schedule["kettle"]).read_text())
    schedule["beer"] = f"Beer {HOSTILE}"
    schedule["grist"][0]["malt"] = f"malt {HOSTILE}"
    for addition in schedule["additions"]:
        addition["add"] = f"{addition['add']} {HOSTILE}"
    file = folder / "hostile.yaml"
    file.write_text(yaml.safe_dump(schedule, sort_keys=False))
    return file


def test_a_script_in_a_malts_name_stays_text(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path, schedule=hostile_schedule(tmp_path)) as day:
        page.goto(day.address)
        expect(page.locator("#beer")).to_have_text(f"Beer {HOSTILE}")
        says(page, "done")
        expect(page.locator("#tasks")).to_contain_text(f"malt {HOSTILE}")
        says(page, "grain is in")
        says(page, "bag is out")
        says(page, "boiling")
        expect(page.locator("#headline-label")).to_contain_text("<script>")
        expect(page.locator("#course")).to_be_visible()
        assert page.evaluate("window.harmed === undefined")
        assert page.locator("main img, main script").count() == 0


MOMENTS: dict[str, tuple[str, ...]] = {
    "gathering": (),
    "a choice in the mash": ("grain is in", "mash temperature 61"),
    "a question": ("grain is in", "kettle volume 2 litres"),
    "the boil": ("grain is in", "bag is out", "boiling", "ten minute timer for the yeast"),
    "transfer": ("grain is in", "bag is out", "boiling", "chilled"),
    "the end": ("grain is in", "bag is out", "boiling", "chilled", "transferred", "pitched"),
}


def brought_to(page: Page, day: Brewed, moment: str) -> None:
    page.goto(day.address)
    for words in MOMENTS[moment]:
        says(page, words)
        expect(page.locator("#heard")).to_contain_text(words)


@pytest.mark.parametrize("moment", MOMENTS)
def test_no_rule_of_accessibility_is_broken(browser: Browser, tmp_path: Path, moment: str) -> None:
    # axe-core's own script is let past the page's rules; nothing else is.
    context = browser.new_context(bypass_csp=True)
    with brewed(tmp_path) as day:
        page = context.new_page()
        brought_to(page, day, moment)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found = Axe().run(page, options=WCAG)
            assert found.violations_count == 0, found.generate_report()
    context.close()


WINDOWS = ((320, 640), (844, 390), (768, 1024), (1920, 1080), (3840, 2160))


@pytest.mark.parametrize("moment", ["a choice in the mash", "the boil"])
def test_it_fits_every_window_and_every_finger(
    browser: Browser, tmp_path: Path, moment: str
) -> None:
    context = browser.new_context(has_touch=True)
    with brewed(tmp_path) as day:
        page = context.new_page()
        brought_to(page, day, moment)
        for width, height in WINDOWS:
            page.set_viewport_size({"width": width, "height": height})
            page.evaluate("window.scrollTo(0, 0)")
            expect(page.locator("#figures")).to_be_in_viewport(ratio=1)
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert not small_controls(page)
            left, right, size = page.locator("#figures").evaluate(FIGURE)
            assert 0 <= left < right <= width
            assert size >= 0.15 * min(width, height)
    context.close()


FIGURE = """node => {
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    return [box.left, box.right, parseFloat(getComputedStyle(node).fontSize)];
}"""


def small_controls(page: Page) -> list[str]:
    """What a wet finger would miss; a tick box is touched by its label."""
    return page.evaluate(
        """(least) => [...document.querySelectorAll("button, input, select, label:has(input)")]
            .filter((node) => node.checkVisibility() && node.type !== "checkbox")
            .filter((node) => {
                const box = node.getBoundingClientRect();
                return Math.min(box.width, box.height) < least;
            })
            .map((node) => node.outerHTML)""",
        FINGER_PX,
    )


COVERED = """() => {
    const covered = [];
    for (const node of document.querySelectorAll("button, input, select, #lost-words")) {
        const box = node.getBoundingClientRect();
        const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
        if (!box.width || y < 0 || y > innerHeight) continue;
        if (document.elementFromPoint(x, y).id === "outcome") covered.push(node.outerHTML);
    }
    return covered;
}"""


@pytest.mark.parametrize(("width", "height"), [(1024, 768), (1280, 800), (1920, 1080)])
def test_what_came_of_a_word_lies_on_no_button(
    browser: Browser, tmp_path: Path, width: int, height: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": height})
    with brewed(tmp_path) as day:
        page = context.new_page()
        page.goto(day.address)
        says(page, "grain is in")
        expect(page.locator("#outcome")).to_contain_text("Sent")
        assert page.evaluate(COVERED) == []
        day.dies()
        expect(page.locator("#lost")).to_be_visible()
        says(page, "note lost")
        expect(page.locator("#outcome")).to_contain_text("Not sent")
        assert page.evaluate(COVERED) == []
    context.close()


def test_the_whole_page_weighs_less_than_sixty_kilobytes(browser: Browser, tmp_path: Path) -> None:
    context = browser.new_context()
    page = context.new_page()
    sizes: dict[str, int] = {}
    page.on(
        "response",
        lambda answer: (
            sizes.update({answer.url: len(answer.body())}) if "events" not in answer.url else None
        ),
    )
    with brewed(tmp_path) as day:
        page.goto(day.address)
        expect(page.locator("#figures")).to_contain_text(":")
        assert all(url.startswith(day.origin) for url in sizes)
        assert {"board.js", "board.css"} <= {url.rsplit("/", 1)[1] for url in sizes}
        assert sum(sizes.values()) < 60_000
    context.close()


def test_everything_can_be_done_by_keyboard(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path) as day:
        page.goto(day.address)
        expect(page.locator("#buttons button").first).to_be_visible()
        page.keyboard.press("/")
        expect(page.get_by_label("Anything else")).to_be_focused()
        page.keyboard.type("note from the keyboard")
        page.keyboard.press("Enter")
        expect(page.locator("#heard")).to_contain_text("note from the keyboard")
        page.locator("body").click(position={"x": 1, "y": 1})
        reached = set()
        for _ in range(60):
            page.keyboard.press("Tab")
            reached.add(page.evaluate("document.activeElement.outerHTML"))
        controls = page.locator("button:visible, input:visible, select:visible").all()
        assert {control.evaluate("n => n.outerHTML") for control in controls} <= reached


def test_typed_words_and_focus_stay_while_the_day_goes_on(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path, *QUICK) as day:
        page.goto(day.address)
        page.get_by_label("Anything else").fill("note half of i")
        day.types("one minute timer for the bag")
        expect(page.locator("#figures")).to_have_text("NOW", timeout=15_000)
        expect(page.get_by_label("Anything else")).to_be_focused()
        expect(page.get_by_label("Anything else")).to_have_value("note half of i")


def test_a_shared_board_is_reached_by_its_address_alone(page: Page, tmp_path: Path) -> None:
    with brewed(tmp_path, "--share") as day:
        assert re.fullmatch(r"http://[0-9.]+:\d+/[a-z2-9]{26}/", day.address)
        page.goto(day.address)
        says(page, "note by phone")
        expect(page.locator("#heard")).to_contain_text("note by phone")
        assert "▄▄▄▄" in "".join(day.told)
        answer = page.request.get(day.origin)
        assert answer.status == 404


def test_the_board_of_a_day_driven_by_a_program_shows_and_takes_no_words(
    page: Page, tmp_path: Path
) -> None:
    with brewed(tmp_path, "--pipe", "--board") as day:
        page.goto(day.address)
        day.types('{"at": 0, "say": "start"}')
        day.types('{"at": 60, "say": "grain is in"}')
        expect(page.locator("#place")).to_contain_text("mash")
        shown = page.locator("#figures").inner_text()
        page.wait_for_timeout(1500)
        expect(page.locator("#figures")).to_have_text(shown)
        expect(page.locator("#saying")).to_be_hidden()
        expect(page.locator("#takes-none")).to_be_visible()
        day.types('{"at": 120}')
        expect(page.locator("#figures")).not_to_have_text(shown)


def test_a_port_that_is_taken_costs_the_board_and_not_the_day(tmp_path: Path) -> None:
    with brewed(tmp_path / "one") as first:
        port = first.address.rsplit(":", 1)[1].strip("/")
        done = subprocess.run(
            [
                *(sys.executable, "-m", "assistant", "brew", str(AMBER), "--no-voice"),
                *("--port", port, "--data", str(tmp_path / "two")),
            ],
            input="note brewed without a board\n",
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == 0
    assert f"port {port} can't be had" in done.stderr
    assert "Noted" in done.stdout
