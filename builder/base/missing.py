"""What to do where a module cannot be found: which package has it, and how this installation gets it."""

import re
import shlex
import sys
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

PROGRAM = "detector-handbook"
PACKAGES = {"yaml": "pyyaml", "markdown_it": "markdown-it-py", "PIL": "pillow", "_cffi_backend": "cffi"}
"""Module -> the package that it comes with, where that has another name."""
LOCK = Path(__file__).resolve().parents[2] / "requirements.lock"
"""What a checkout was installed from; an installed wheel has none beside it."""


def lacks(module: str) -> str:
    """That a module is missing, and what to do.

    >>> lacks("builder.render.gone")
    'the program is not whole, it lacks builder.render.gone; install it anew'
    """
    name = module.partition(".")[0]
    if name == "builder" or not name:
        return f"the program is not whole, it lacks {module or 'a module'}; install it anew"
    if name in sys.stdlib_module_names:
        return f"this Python is not whole, it lacks its own module {module}; take another one"
    package = PACKAGES.get(name, name).replace("_", "-").lower()
    wanted = ("--require-hashes", "-r", str(LOCK)) if LOCK.is_file() else (_requirement(package),)
    command = shlex.join((sys.executable, "-m", "pip", "install", *wanted))
    return f"the library {package} is not installed; install it: {command}"


def _requirement(package: str) -> str:
    """The package with the versions of it that will do, as far as the program says."""
    try:
        listed = [line.partition(";")[0].strip() for line in requires(PROGRAM) or ()]
    except PackageNotFoundError:
        listed = []
    return next((line for line in listed if re.split(r"[^\w.-]", line, maxsplit=1)[0].lower() == package), package)
