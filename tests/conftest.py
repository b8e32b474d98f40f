"""What every test shares: hypothesis without deadlines, loaded samples, and one browser."""

import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from chromium import CHROMIUM, CHROMIUM_FLAGS
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright
from sample_files import SAMPLES

from assistant.advice.plan import Plan, make_plan
from assistant.schedule import Schedule, load

TESTS = Path(__file__).parent

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    # A shell has what it runs in the background ignore Ctrl-C, and so would every child of ours.
    signal.signal(signal.SIGINT, signal.default_int_handler)

settings.register_profile("steady", deadline=None)
settings.load_profile("steady")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """A room is to be covered by its own tests; whole days brewed would also be slowed thrice."""
    if config.getoption("no_cov"):
        return
    measured = {source.removeprefix("assistant.") for source in config.getoption("cov_source")}
    for item in items:
        if item.path.relative_to(TESTS).parts[0] not in measured:
            item.add_marker(pytest.mark.no_cover)


@pytest.fixture(scope="session")
def amber() -> Schedule:
    """The metric step-mash sample that is rehearsed."""
    return load(SAMPLES / "breakwater-amber.yaml")


@pytest.fixture(scope="session")
def amber_plan(amber: Schedule) -> Plan:
    """Its plan."""
    return make_plan(amber)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("there is no Chromium here; on Debian `apt install chromium` brings it")
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=CHROMIUM, args=[*CHROMIUM_FLAGS])
        yield running
        running.close()
