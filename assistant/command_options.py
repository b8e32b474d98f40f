"""Arguments and options that several commands take."""

from pathlib import Path

import click

schedule_argument = click.argument("schedule", type=click.Path(path_type=Path))
units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Show and hear these units."
)
data_option = click.option(
    "--data",
    type=click.Path(path_type=Path, file_okay=False),
    envvar="KETTLESIDE_DATA",
    help="The folder of the record; else $KETTLESIDE_DATA, else the platform's data folder.",
)
engine_option = click.option(
    "--engine",
    type=click.Choice(["vosk", "pocketsphinx"]),
    help="What hears; else Vosk if a model of its is there, else PocketSphinx.",
)
