"""Options that several commands share, and what they mean."""

import os
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, TypeVar

import click

from builder.base.errors import UsageError
from builder.load.extended import refuse_kept

Command = TypeVar("Command", bound=Callable[..., Any] | click.Command)

FOLDER = click.Path(path_type=Path, file_okay=False)
FOLDER_THERE = click.Path(path_type=Path, file_okay=False, exists=True)
FILE = click.Path(path_type=Path, dir_okay=False)
FILE_THERE = click.Path(path_type=Path, dir_okay=False, exists=True)


def _content(_context: click.Context, _option: click.Parameter, content: Path) -> Path:
    refuse_kept(Path(content))
    return content


def day_of(_context: click.Context, _option: click.Parameter, text: str | None) -> date | None:
    """The day of an option without default."""
    return None if text is None else _day(_context, _option, text)


def _day(_context: click.Context, _option: click.Parameter, text: str | None) -> date:
    if text is None:
        return default_day()
    try:
        return datetime.strptime(text, "%Y-%m-%d").replace(tzinfo=UTC).date()
    except ValueError:
        raise click.BadParameter(f"{text!r} is no date; allowed: YYYY-MM-DD, such as 2026-11-25") from None


def default_day() -> date:
    """Today by the local clock, or the UTC day of ``SOURCE_DATE_EPOCH`` (reproducible-builds.org).

    :raises UsageError: when that variable holds no whole number of seconds.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is None:
        return datetime.now().astimezone().date()
    try:
        return datetime.fromtimestamp(int(epoch), tz=UTC).date()
    except (ValueError, OverflowError, OSError):
        raise UsageError(f"SOURCE_DATE_EPOCH is {epoch!r}; allowed: whole seconds since 1970") from None


content_option = click.option(
    "--content",
    type=FOLDER,
    default=Path("content"),
    show_default=True,
    callback=_content,
    help="Folder with the site's data (see docs/content.md).",
)
as_of_option = click.option(
    "--as-of",
    metavar="DATE",
    callback=_day,
    help="Day everything due is judged on, as YYYY-MM-DD. Default: today, or the day of SOURCE_DATE_EPOCH.",
)
quiet_option = click.option("--quiet", "-q", is_flag=True, help="Say nothing unless something is wrong.")


def site_option(name: str, told: str) -> Callable[[Command], Command]:
    """An option for the folder of a site.

    :param told: what it is, for its help.
    """
    return click.option(name, type=FOLDER, default=Path("site"), show_default=True, help=told)
