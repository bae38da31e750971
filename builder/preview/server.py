"""Serves a preview to browsers on this machine: the site as it was published, and a script that keeps it fresh."""

import re
import socket
from collections.abc import Callable
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from builder.render.templates import templates_folder

LOOPBACK = "127.0.0.1"
OWN = "/~preview/"
"""Begins the addresses that no site has."""
WAITING = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Preview</title></head>
<body><p>No site stands yet. This page follows the build.</p></body></html>
"""
POLICY = re.compile(r'(<meta http-equiv="Content-Security-Policy" content="[^"]*)')


def serving(site: Path, state: Callable[[], bytes], port: int) -> ThreadingHTTPServer:
    """A server for ``site``, not running yet.

    :param state: JSON that the script asks for.
    :param port: 0 takes any that is free.
    :raises OSError: when the port is taken.
    """
    return _Server((LOOPBACK, port), partial(_Handler, state, directory=str(site)))


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def server_bind(self) -> None:
        """Bind without asking who this machine is, which can wait on a name server."""
        self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self.socket.bind(self.server_address)
        self.server_address = self.socket.getsockname()
        self.server_name, self.server_port = LOOPBACK, self.server_address[1]


class _Handler(SimpleHTTPRequestHandler):
    server_version, sys_version = "handbook", ""

    def __init__(self, state: Callable[[], bytes], *args: Any, **others: Any) -> None:
        self._state = state
        super().__init__(*args, **others)

    def do_GET(self) -> None:
        """A file of the site, or what the preview adds to it."""
        if not self._asked_here():
            self.send_error(HTTPStatus.FORBIDDEN, "asked by another name than that of this machine")
        elif self.path == f"{OWN}state":
            self._answer(self._state(), "application/json")
        elif self.path == f"{OWN}fresh.js":
            self._answer((templates_folder() / "preview" / "fresh.js").read_bytes(), "text/javascript")
        elif (page := self._page()) is not None:
            self._answer(_with_script(page).encode(), "text/html; charset=utf-8")
        else:
            super().do_GET()

    def do_HEAD(self) -> None:
        """As above, without the body."""
        if self._asked_here():
            super().do_HEAD()
        else:
            self.send_error(HTTPStatus.FORBIDDEN, "asked by another name than that of this machine")

    def _asked_here(self) -> bool:
        """Whether the browser thinks it talks to this machine: no other site's name may lead here."""
        return self.headers.get("Host", "").rsplit(":", 1)[0] in (LOOPBACK, "localhost")

    def _page(self) -> str | None:
        """The HTML that is asked for, ``None`` where it is something else."""
        path = Path(self.translate_path(self.path))
        if path.is_dir():
            path /= "index.html"
            if not self.path.split("?", 1)[0].endswith("/"):
                return None
        if path.suffix == ".html" and path.is_file():
            return path.read_text(encoding="utf-8")
        return WAITING if self.path in ("/", "/index.html") else None

    def _answer(self, data: bytes, kind: str) -> None:
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def end_headers(self) -> None:
        """No copy is kept: the next round may change anything."""
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Say nothing: the terminal is for what is built."""

    def list_directory(self, path: Any) -> None:  # noqa: ARG002 - the form of a handler
        """Show no folders."""
        self.send_error(HTTPStatus.NOT_FOUND)


def _with_script(page: str) -> str:
    """The page with the script, which alone may ask this server for more."""
    allowed = POLICY.sub(r"\1; connect-src 'self'", page, count=1)
    return allowed.replace("</head>", f'<script src="{OWN}fresh.js" defer></script></head>', 1)
