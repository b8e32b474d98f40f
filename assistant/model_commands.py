"""``kettleside model``: which speech models there are, and fetching one."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from assistant.command_steps import BAD_CALL, FAILED, LONGEST_LINE, STOPPED, fail

if TYPE_CHECKING:
    from assistant.hearing.models import SpeechModel

data_option = click.option(
    "--data",
    type=click.Path(path_type=Path, file_okay=False),
    envvar="KETTLESIDE_DATA",
    help="The folder whose models/ is meant; else $KETTLESIDE_DATA, else the usual places.",
)


@click.group()
def model() -> None:
    """Speech models for Vosk: list them, fetch one."""


@model.command("list")
@data_option
def list_models(data: Path | None) -> None:
    """The models that can be fetched, which are there and where, and which one is used."""
    from assistant.hearing.models import placed_models, places

    known = _known()
    placed = placed_models(data, known)
    for each in known:
        where = [_shown(found.folder) for found in placed if found.model == each]
        click.echo(f"{each.name:<14}  {each.size_bytes / 1e6:>5.0f} MB  {each.purpose}")
        click.echo(f"{'':<14}  {', '.join(where) or 'not there'}; {each.licence}")
    for found in placed:
        if found.model is None:
            click.echo(f"{'(not listed)':<14}  {'':>8}  {_shown(found.folder)}")
    if placed:
        click.echo(f"Used: {_shown(placed[0].folder)}")
    else:
        place = _shown(places(data)[0])
        click.echo(f"None is there: `kettleside model fetch NAME` puts it into {place}")


@model.command("fetch")
@click.argument("name")
@data_option
def fetch_model(name: str, data: Path | None) -> None:
    """Download the model NAME, check it and unpack it."""
    from assistant.hearing.models import placed_models, places
    from assistant.hearing.models_fetch import FetchFailed, fetch

    known = _known()
    wanted = next((each for each in known if each.name == name), None)
    if wanted is None:
        names = ", ".join(each.name for each in known)
        raise click.BadParameter(f"{name!r} is no model of the list: {names}")
    for found in placed_models(data, known):
        if found.model == wanted:
            click.echo(f"{name} is there already: {_shown(found.folder)}")
            return
    try:
        with click.progressbar(
            length=wanted.size_bytes, label=wanted.file, file=sys.stderr
        ) as progress:
            folder = fetch(wanted, places(data)[0], lambda there, _: _show(progress, there))
    except FetchFailed as failed:
        fail(str(failed), status=FAILED)
    except KeyboardInterrupt:
        fail("Stopped. What has come is kept: the same command goes on with it.", status=STOPPED)
    click.echo(f"{name} is in {_shown(folder)}")


def _shown(folder: Path) -> str:
    from assistant.schedule.faults import harmless

    return harmless(str(folder), LONGEST_LINE)


def _show(progress: "click._termui_impl.ProgressBar[int]", there_bytes: int) -> None:
    progress.update(there_bytes - progress.pos)


def _known() -> "tuple[SpeechModel, ...]":
    from assistant.hearing.models import ModelsUnreadable, known_models

    try:
        return known_models()
    except ModelsUnreadable as error:
        fail(str(error), status=BAD_CALL)
