"""Finds the templates and makes the one strict environment that pages, the book and cards share.

Undefined names raise, everything is escaped, and jinja2 is imported only when something is rendered.
"""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from builder.base.digest import digest
from builder.base.errors import RenderError
from builder.base.installed import version_of
from builder.base.shipped import CANDIDATES
from builder.base.sources import sources_digest
from builder.program.look import Look
from builder.render.typeset import typeset

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def templates_folder() -> Path:
    """The folder that holds ``html``, ``cards`` and ``css``.

    :raises RenderError: when the installation has none.
    """
    for folder in CANDIDATES:
        if (folder / "html").is_dir():
            return folder
    raise RenderError("no templates folder; looked in " + ", ".join(str(folder) for folder in CANDIDATES))


def stylesheet(name: str) -> str:
    """The text of ``css/NAME``, as in ``site.css``.

    :raises RenderError: when there is no such file.
    """
    path = templates_folder() / "css" / name
    if not path.is_file():
        raise RenderError(f"no stylesheet {path}")
    return path.read_text(encoding="utf-8")


def kind(node: object) -> str:
    """The name of a record's class, by which templates choose how to print it (filter ``kind``)."""
    return type(node).__name__


def data_url(look: Look) -> str:
    """The logo as an address that holds it (filter ``data_url``), for documents that lie in one file."""
    kind = "svg+xml" if look.logo_kind == "svg" else look.logo_kind
    return f"data:image/{kind};base64,{b64encode(look.logo).decode()}"


@cache
def environment() -> Environment:
    """The template environment: ``environment().get_template("html/page.html")``.

    A template tag on a line of its own leaves no blank line behind.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # noqa: PLC0415 - heavy, so loaded at first need

    from builder.render.compiled import CompiledTemplates  # noqa: PLC0415 - as above
    from builder.render.inlines import inlines  # noqa: PLC0415 - as above

    made = Environment(
        loader=FileSystemLoader(templates_folder()),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        bytecode_cache=CompiledTemplates(digest(sources_digest(__name__), version_of("jinja2"))),
    )
    made.globals["inlines"] = inlines
    made.filters["kind"] = kind
    made.filters["typeset"] = typeset
    made.filters["data_url"] = data_url
    return made


def fill(name: str, **values: object) -> str:
    """The text of a template filled with ``values``.

    :raises RenderError: when the template is missing, wrong, or uses a name it was not given.
    """
    from jinja2 import TemplateError  # noqa: PLC0415 - heavy, so loaded at first need

    try:
        return environment().get_template(name).render(values)
    except TemplateError as error:
        raise RenderError(f"template {name}: {type(error).__name__}: {error}") from error
