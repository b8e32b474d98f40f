"""Days that were written long ago, or put together again, have their report as any other."""

from pathlib import Path

from damaged import PAGE, brew_three, with_copies, without_copies
from test_record_learned import first_version as first_version

from assistant.record.journal import FILE_NAME, Journal
from assistant.record.reporting.as_csv import as_csv
from assistant.record.reporting.as_html import day_page
from assistant.record.reporting.as_json import as_json
from assistant.record.reporting.laying import laid_out
from assistant.record.reporting.making import account_on_record
from assistant.record.reporting.text import as_text


def in_every_form(journal: Journal, day: int) -> list[str]:
    account = account_on_record(journal, day)
    assert account is not None
    return [as_text(laid_out(account)), day_page(account), as_json(account), as_csv(account)]


def test_a_day_that_the_first_version_wrote_is_told(first_version: Path) -> None:
    with Journal.open(first_version, read_only=True) as journal:
        assert all("steam" in form for form in in_every_form(journal, 1))
        assert all("Slipway Bitter" in form for form in in_every_form(journal, 2)[:3])


def test_a_day_that_is_not_on_record_has_no_account(first_version: Path) -> None:
    with Journal.open(first_version, read_only=True) as journal:
        assert account_on_record(journal, 99) is None


def test_a_day_that_was_mended_is_told_with_what_could_be_saved(tmp_path: Path) -> None:
    brew_three(tmp_path)
    with_copies(tmp_path)
    without_copies(tmp_path)
    file = tmp_path / FILE_NAME
    pages = bytearray(file.read_bytes())
    pages[3 * PAGE : 4 * PAGE] = bytes(PAGE)
    file.write_bytes(pages)
    with Journal.open(tmp_path) as journal:
        assert journal.mended is not None
        days = [day.id for day in journal.days()]
        assert days
        for day in days:
            assert all(form for form in in_every_form(journal, day))
