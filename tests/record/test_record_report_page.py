"""The page of a day stands by itself, says what the text says, and takes no name for markup."""

import re
import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace
from datetime import UTC
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser
from reported_days import BEGAN, rehearsed
from small_day import morning, small_schedule, whole_day

from assistant.advice.timeline import Stage
from assistant.day.events import DayBegan, Source
from assistant.day.quantities import Quantity
from assistant.day.state import Reading
from assistant.record.journal import Day, DayStatus
from assistant.record.reporting.account import Account, StageSpent
from assistant.record.reporting.as_html import comparison_page, day_page
from assistant.record.reporting.axes import spread_out, stage_lines
from assistant.record.reporting.drawing import drawing
from assistant.record.reporting.followed import SeenReading
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_of_events
from assistant.record.reporting.sitting import drawn_part
from assistant.schedule import Schedule
from assistant.schedule.model import Units

DAY = Day(
    id=1,
    began_wall=BEGAN,
    schedule_path="/beers/beer.yaml",
    beer="a beer",
    status=DayStatus.FINISHED,
)
NASTY = "<script>alert(1)</script> & $x^2_$ \"'"

VOID = {"meta", "path", "use", "link", "br"}


class Seen(HTMLParser):
    """The elements of a page, its text, and which were never closed."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


@cache
def amber() -> Account:
    day = rehearsed()
    return account_of_events(DAY, day.schedule, day.events)


@cache
def page() -> str:
    return day_page(amber(), zone=UTC)


def nasty_schedule() -> Schedule:
    schedule = small_schedule()
    return replace(
        schedule,
        beer=NASTY,
        kettle=replace(schedule.kettle, name=NASTY),
        grist=tuple(replace(malt, name=NASTY) for malt in schedule.grist),
        mash=tuple(replace(rest, name=NASTY) for rest in schedule.mash),
        additions=tuple(replace(each, name=NASTY) for each in schedule.additions),
        yeast=replace(schedule.yeast, name=NASTY),
    )


def test_a_page_asks_for_nothing_from_anywhere() -> None:
    seen = Seen(page())
    assert not {tag for tag, _ in seen.elements} & {
        "script", "link", "img", "iframe", "object", "embed", "base", "form", "audio", "video",
    }  # fmt: skip
    for _, attributes in seen.elements:
        for name, value in attributes.items():
            if name in ("src", "href", "xlink:href", "data", "action", "srcset"):
                assert (value or "").startswith("#")
            assert not name.startswith("on")
    assert "url(http" not in page()
    assert "@import" not in page()


def test_a_page_forbids_itself_everything_but_its_own_style() -> None:
    policies = [
        attributes["content"]
        for tag, attributes in Seen(page()).elements
        if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'; img-src data:"]


def test_a_page_is_whole() -> None:
    assert Seen(page()).open == []


def test_no_name_stands_twice_in_a_page() -> None:
    names = Counter(a["id"] for _, a in Seen(page()).elements if a.get("id"))
    assert [name for name, count in names.items() if count > 1] == []


def test_whatever_points_somewhere_finds_it() -> None:
    seen = Seen(page())
    names = {attributes.get("id") for _, attributes in seen.elements}
    for _, attributes in seen.elements:
        for name in ("href", "xlink:href"):
            if attributes.get(name):
                assert (attributes[name] or "")[1:] in names
        for name in (attributes.get("aria-labelledby") or "").split():
            assert name in names
        for name in re.findall(r"url\(#([^)]*)\)", attributes.get("clip-path") or ""):
            assert name in names


def test_headings_go_down_one_step_at_a_time() -> None:
    levels = [int(tag[1]) for tag, _ in Seen(page()).elements if re.fullmatch(r"h[1-6]", tag)]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert set(levels[1:]) == {2}


def test_every_table_has_its_caption_and_its_heads() -> None:
    tables = re.findall(r"<table>.*?</table>", page(), re.DOTALL)
    assert len(tables) > 10
    for table in tables:
        assert "<caption" in table
        head, body = table.split("<tbody>")
        assert head.count('<th scope="col">') >= 2
        assert body.count("<tr>") == body.count('<th scope="row">')
        assert not re.search(r'<th scope="col">\s*</th>', head)


def test_every_chart_is_told_in_words_and_has_its_figures_in_a_table() -> None:
    charts = re.findall(r"<svg.*?</svg>", page(), re.DOTALL)
    assert len(charts) == 3
    for chart in charts:
        root = ET.fromstring(chart)
        assert root.get("role") == "img"
        title, description = root[0], root[1]
        assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
        assert (title.text or "").strip()
        assert "table" in (description.text or "")


def test_the_page_says_what_the_text_says() -> None:
    told = " ".join(" ".join(Seen(page()).texts).split())
    for section in laid_out(amber(), zone=UTC).sections:
        assert section.title in told
        for table in section.tables:
            for row in table.rows:
                assert all(" ".join(cell.split()) in told for cell in row)
        for paragraph in section.paragraphs:
            assert paragraph.text in told


def test_a_name_is_never_taken_for_markup() -> None:
    schedule = nasty_schedule()
    day = whole_day(small_schedule())
    events = [replace(e, subject=NASTY) if getattr(e, "subject", None) else e for e in day.events]
    for zone_page in (
        day_page(account_of_events(DAY, schedule, events[:30])),
        day_page(account_of_events(DAY, schedule, events), on_paper=True),
        comparison_page(*[account_of_events(DAY, schedule, events)] * 2),
    ):
        seen = Seen(zone_page)
        assert "script" not in {tag for tag, _ in seen.elements}
        assert any(NASTY in text for text in seen.texts)


@pytest.mark.parametrize("name", ["<b>&amp; hops</b>", "$x^2$ and $\\frac{1}{2}$", "</svg><i>"])
def test_a_name_in_a_chart_is_text_and_no_formula(name: str) -> None:
    named = replace(amber(), additions=tuple(replace(a, name=name) for a in amber().additions))
    chart = re.findall(r"<svg.*?</svg>", day_page(named), re.DOTALL)[-1]
    assert name in [element.text for element in ET.fromstring(chart).iter()]


def test_marks_that_turn_the_writing_round_are_spelt_out() -> None:
    day = whole_day(small_schedule())
    told = account_of_events(DAY, day.schedule, day.events)
    turned = tuple(replace(line, name="\u202eegats") for line in told.additions)
    written = day_page(replace(told, additions=turned))
    assert r"pitched\x1b[2J\u202elate" in written
    assert r"\u202eegats" in written
    assert "\x1b" not in written
    assert "\u202e" not in written


def test_letters_of_any_script_can_stand_in_a_chart() -> None:
    names = ("\U0001f37a hops", "ホップ", "﷽")
    day = whole_day(small_schedule())
    told = account_of_events(DAY, day.schedule, day.events)
    additions = tuple(
        replace(line, name=name) for line, name in zip(told.additions, names, strict=False)
    )
    written = day_page(replace(told, additions=additions))
    for line in additions:
        if line.ibu is not None:
            assert line.name in written


def test_the_same_day_makes_the_same_page_to_the_byte() -> None:
    day = rehearsed()
    again = account_of_events(DAY, day.schedule, day.events)
    assert day_page(again, zone=UTC) == page()


def test_a_chart_follows_the_readers_light_or_dark_and_a_printers_none() -> None:
    assert "stroke: var(--believed)" in page()
    assert "prefers-color-scheme: dark" in page()
    assert "#0102" not in page()
    paper = day_page(amber(), on_paper=True)
    charts = " ".join(re.findall(r"<svg.*?</svg>", paper, re.DOTALL))
    assert "var(--" not in charts
    assert "prefers-color-scheme" not in paper


@pytest.mark.parametrize(("units", "sheet"), [(Units.METRIC, "A4"), (Units.US, "letter")])
def test_paper_has_the_size_that_goes_with_the_units(units: Units, sheet: str) -> None:
    told = replace(amber(), schedule=replace(amber().schedule, units=units))
    assert f"size: {sheet};" in day_page(told, on_paper=True)
    assert "size: " not in day_page(told).split("</style>")[0].split("@page")[1].split("}")[0]


def test_a_sensors_thousands_of_readings_make_a_small_page_that_says_so() -> None:
    many = tuple(
        SeenReading(
            reading=Reading(
                at=float(second),
                quantity=Quantity.MASH_TEMPERATURE,
                value=66.0 + second % 7 / 10,
                said=66.0,
                said_unit="degC",
                sample_c=None,
            ),
            source=Source.SENSOR,
        )
        for second in range(18000)
    )
    told = replace(amber(), readings=(*amber().readings, *many))
    written = day_page(told)
    assert len(written.encode()) < 3_000_000
    assert re.search(r"Of 180\d\d readings, 17\d\d\d of a sensor are left out here", written)
    spoken = [seen for seen in amber().readings if seen.source is Source.WORDS]
    section = next(s for s in laid_out(told).sections if s.key == "readings")
    assert len(section.tables[0].rows) >= len(spoken) + 20


@pytest.mark.parametrize("events", [0, 1, 2, 12, 30])
def test_a_day_cut_off_anywhere_has_a_page(events: int) -> None:
    day = whole_day(small_schedule())
    told = account_of_events(DAY, day.schedule, day.events[:events])
    written = day_page(told)
    assert Seen(written).open == []
    assert "<svg" in written


def test_the_charts_of_a_day_that_was_left_for_weeks_show_the_brewing() -> None:
    day = morning(small_schedule())
    left_s = day.state.now_s
    day.happen(replace(day.events[1], at=left_s + 20 * 86400.0))
    told = account_of_events(DAY, day.schedule, day.events)
    drawn = drawn_part(told)
    assert told.ended_s == left_s + 20 * 86400.0
    assert drawn.ended_s == left_s + 1800.0
    assert drawn.believed[-1].at_s <= drawn.ended_s
    written = day_page(told)
    assert len(written) < 300_000
    assert "Charts end here: then the day was left for long" in written
    assert ">11:00<" in written


def test_the_charts_of_a_day_that_was_not_left_show_all_of_it() -> None:
    assert drawn_part(amber()) is amber()
    assert "Charts end here" not in page()


def test_a_day_that_has_just_begun_has_a_page() -> None:
    told = account_of_events(DAY, small_schedule(), [DayBegan(at=0.0)])
    assert "Slipway Bitter" in day_page(told)


@pytest.mark.parametrize(
    ("places", "moved"),
    [
        ([], []),
        ([1.0, 5.0], [1.0, 5.0]),
        ([1.0, 1.0, 1.5], [1.0, 2.0, 3.0]),
        ([9.0, 9.2, 9.4], [7.5, 8.5, 9.5]),
    ],
)
def test_names_in_a_chart_keep_off_each_other_and_within(
    places: list[float], moved: list[float]
) -> None:
    assert spread_out(places, 1.0, 10.0) == moved


@pytest.mark.parametrize("share", [0.05, 0.07, 0.08, 0.1, 0.13])
def test_names_of_stages_keep_off_each_other(share: float) -> None:
    stages = [
        StageSpent(
            stage=stage,
            rest=None,
            from_s=place * share,
            until_s=(place + 1) * share,
            planned_s=None,
        )
        for place, stage in enumerate(Stage)
    ]
    with drawing(9.0, 4.6) as figure:
        axes = figure.add_subplot()
        axes.set_xlim(0.0, 1.0)
        stage_lines(axes, stages, names=True)
        figure.draw_without_rendering()
        found = sorted((text.get_window_extent() for text in axes.texts), key=lambda box: box.x0)
    assert found
    assert all(left.x1 + 4.0 < right.x0 for left, right in pairwise(found))


def test_two_days_side_by_side_have_a_page() -> None:
    other = rehearsed("saltgrass-pale")
    told = account_of_events(replace(DAY, id=2), other.schedule, other.events)
    written = comparison_page(amber(), told, zone=UTC)
    assert Seen(written).open == []
    assert written.count("<svg") == 1
    assert "Breakwater Amber and Saltgrass Pale, side by side" in written


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_browser_finds_nothing_that_keeps_anybody_out(
    browser: Browser, tmp_path: Path, scheme: str
) -> None:
    (tmp_path / "day.html").write_text(page(), encoding="utf-8")
    tab = browser.new_page(viewport={"width": 320, "height": 640}, color_scheme=scheme)
    complaints: list[str] = []
    tab.on("console", lambda message: complaints.append(message.text))
    tab.goto((tmp_path / "day.html").as_uri())
    wide = tab.evaluate("document.documentElement.scrollWidth")
    found = Axe().run(tab, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
    tab.close()
    assert wide == 320
    assert found.violations_count == 0, found.generate_report()
    assert complaints == []
