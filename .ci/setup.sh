#!/bin/sh
# What the Makefile needs from the system: setup.sh venv FOLDER | libraries PYTHON | poppler | browser | checkers |
# openssh | make
#
# Missing packages are installed where apt-get can do so without a question; elsewhere one line names them.
#   HANDBOOK_APT=no         never install system packages
#   HANDBOOK_APT_LISTS      where apt keeps its package lists
#   HANDBOOK_LIBRARIES      which libraries must load, instead of those the PDF engine needs
#   HANDBOOK_PDF_TOOLS      which PDF tools must be there, instead of those the tests run
#   HANDBOOK_BROWSERS       by which names a browser may be called, instead of Chromium's
#   HANDBOOK_CHECKERS       what the page checkers need, instead of npm and java
#   HANDBOOK_SSH_TOOL       by which name the signing tool is called, instead of ssh-keygen
#   PYTHON                  which Python to take, instead of the newest one found
set -eu

lists=${HANDBOOK_APT_LISTS:-/var/lib/apt/lists}

stop() {
    echo "setup: $*" >&2
    exit 1
}

as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi
}

can_install() {
    [ "${HANDBOOK_APT:-yes}" = yes ] || return 1
    command -v apt-get >/dev/null 2>&1 || return 1
    [ "$(id -u)" = 0 ] || sudo -n true 2>/dev/null
}

apt() {
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq -o DPkg::Lock::Timeout=300 "$@" </dev/null >/dev/null
}

# Installs packages, or fails when this system cannot do so by itself.
install_packages() {
    can_install || return 1
    echo "setup: installing $*" >&2
    if ! ls "$lists"/*Packages* >/dev/null 2>&1; then
        apt update || return 1
        apt install -y --no-install-recommends "$@"
        return
    fi
    # Lists that are too old name files that are gone: fetch new ones and try once more.
    apt install -y --no-install-recommends "$@" 2>/dev/null || {
        apt update && apt install -y --no-install-recommends "$@"
    }
}

# Prints the newest Python that will do: 3.11 or newer, and able to make environments.
find_python() {
    for name in ${PYTHON:-python3.15 python3.14 python3.13 python3.12 python3.11 python3 python}; do
        if "$name" -c 'import sys; assert sys.version_info >= (3, 11); import ensurepip, venv' >/dev/null 2>&1; then
            command -v "$name"
            return
        fi
    done
    return 1
}

python_here() {
    for name in ${PYTHON:-python3 python}; do
        "$name" -c 'import platform; print("found Python", platform.python_version())' 2>/dev/null && return
    done
    echo "found no Python"
}

make_venv() {
    python=$(find_python) || {
        install_packages python3 python3-venv || true
        python=$(find_python) || stop "$(python_here), but Python 3.11 or newer with its venv module is needed." \
            "Debian/Ubuntu: apt install python3 python3-venv; Fedora: dnf install python3;" \
            "macOS: brew install python; Windows: use WSL"
    }
    echo "setup: making $1 with $("$python" --version)" >&2
    "$python" -m venv --clear "$1"
}

# Fails unless every library can really be loaded, by any of the names that systems give it.
libraries_load() {
    # shellcheck disable=SC2086  # the names are words of their own
    "$1" - ${HANDBOOK_LIBRARIES:-pango-1.0 pangoft2-1.0 harfbuzz-subset} <<'PYTHON'
import ctypes, ctypes.util, sys

def loads(name):
    names = (ctypes.util.find_library(name), f"lib{name}.so.0", f"lib{name}.dylib", f"lib{name}.0.dylib", f"lib{name}-0.dll")
    for file in filter(None, names):
        try:
            ctypes.CDLL(file)
        except OSError:
            continue
        return True
    return False

sys.exit(not all(map(loads, sys.argv[1:])))
PYTHON
}

need_libraries() {
    libraries_load "$1" && return
    install_packages libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 || true
    libraries_load "$1" || stop "the PDF engine cannot load ${HANDBOOK_LIBRARIES:-Pango and HarfBuzz}." \
        "Debian/Ubuntu: apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; Fedora: dnf install pango;" \
        "macOS: brew install pango; Windows: use WSL"
}

pdf_tools_here() {
    for name in ${HANDBOOK_PDF_TOOLS:-pdftotext pdftoppm pdffonts pdfinfo}; do
        command -v "$name" >/dev/null 2>&1 || return 1
    done
}

need_poppler() {
    pdf_tools_here && return
    install_packages poppler-utils || true
    pdf_tools_here || stop "the tests read PDFs with Poppler's tools, which are missing." \
        "Debian/Ubuntu: apt install poppler-utils; Fedora: dnf install poppler-utils;" \
        "macOS: brew install poppler; Windows: use WSL"
}

browser_here() {
    for name in ${HANDBOOK_BROWSERS:-chromium chromium-browser google-chrome}; do
        command -v "$name" >/dev/null 2>&1 && return
    done
    return 1
}

need_browser() {
    browser_here && return
    install_packages chromium || true
    browser_here || stop "the tests read pages in Chromium, which is missing." \
        "Debian: apt install chromium; Fedora: dnf install chromium; macOS: brew install chromium, with chromium" \
        "on the PATH; elsewhere any browser of that family that is called chromium or google-chrome"
}

checkers_here() {
    for name in ${HANDBOOK_CHECKERS:-npm java}; do
        "$name" --version >/dev/null 2>&1 || "$name" -version >/dev/null 2>&1 || return 1
    done
}

need_checkers() {
    checkers_here && return
    install_packages npm default-jre-headless || true
    checkers_here || stop "the tests check pages with tools that npm installs and java runs, and one of the two is" \
        "missing. Debian/Ubuntu: apt install npm default-jre-headless; Fedora: dnf install npm java-latest-openjdk-headless;" \
        "macOS: brew install node openjdk; Windows: use WSL"
}

openssh_here() {
    command -v "${HANDBOOK_SSH_TOOL:-ssh-keygen}" >/dev/null 2>&1
}

need_openssh() {
    openssh_here && return
    install_packages openssh-client || true
    openssh_here || stop "the tests sign sites with ssh-keygen, which is missing." \
        "Debian/Ubuntu: apt install openssh-client; Fedora: dnf install openssh; macOS has it"
}

need_make() {
    command -v make >/dev/null 2>&1 && return
    install_packages make || true
    command -v make >/dev/null 2>&1 || stop "GNU make is missing." \
        "Debian/Ubuntu: apt install make; Fedora: dnf install make; macOS: xcode-select --install;" \
        "Windows: use WSL"
}

case "${1:-}" in
    venv) make_venv "$2" ;;
    libraries) need_libraries "$2" ;;
    poppler) need_poppler ;;
    browser) need_browser ;;
    checkers) need_checkers ;;
    openssh) need_openssh ;;
    make) need_make ;;
    *) stop "say venv FOLDER, libraries PYTHON, poppler, browser, checkers, openssh or make" ;;
esac
