"""``handbook preview``."""

import threading
from pathlib import Path

import click

from builder.base.errors import UsageError, refusal
from builder.base.fault_kinds import Kind
from builder.base.where import Where
from builder.cli.options import FOLDER, content_option
from builder.cli.telling import say, show_problems
from builder.cli.work import cache_folder

PORT = 8375


@click.command()
@content_option
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="0 takes any free one.")
@click.option("--out", type=FOLDER, help="Folder of the draft that is shown. Default: one in the user's cache folder.")
@click.option("--open", "opened", is_flag=True, help="Show it in the browser.")
def preview(content: Path, port: int, out: Path | None, opened: bool) -> int:
    r"""Show a draft in this machine's browser, and make it anew whenever the content changes.

    Faults stand on the page and here, with file and line; the last good site stays up meanwhile. Nobody else on the
    network can open it, and no published site is touched. Ctrl-C ends it.

    \b
    Examples:
      handbook preview --open
      handbook preview --content my-site --port 9000
    """
    from builder.preview.rounds import Rounds, changes, draft_folder  # noqa: PLC0415 - `--help` needs none of it
    from builder.preview.server import serving  # noqa: PLC0415 - as above

    if not content.is_dir():
        show_problems(refusal(Kind.FILE_MISSING, Where(".", 1), "no such folder", "a folder of content"), content)
        return 1
    site = out or draft_folder(cache_folder(), content)
    rounds = Rounds(["build", "--content", str(content), "--out", str(site)])
    try:
        server = serving(site, rounds.state, port)
    except OSError as fault:
        raise UsageError(f"port {port} cannot be had: {fault.strerror}; --port 0 takes any that is free") from fault
    threading.Thread(target=server.serve_forever, daemon=True).start()
    address = f"http://{server.server_name}:{server.server_port}/"
    click.echo(f"preview of {content} on {address}  (Ctrl-C ends it)")
    if opened:
        click.launch(address)
    try:
        _tell(*rounds.run())
        for count in changes(content):
            click.echo(f"{count} file{'' if count == 1 else 's'} changed")
            _tell(*rounds.run())
    finally:
        server.shutdown()
        server.server_close()
    return 0


def _tell(good: bool, said: str, seconds: float) -> None:
    """What a round came to."""
    say(said, err=not good, lines=True)
    click.echo(f"{'shown' if good else 'not made anew; the last good site stays'}, after {seconds:.1f} s")
