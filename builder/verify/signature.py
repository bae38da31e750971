"""Detached signatures of lists of checksums, made and checked by OpenSSH's own tool."""

import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from builder.base.errors import PublishError
from builder.history.archive import FOLDER, revision_folders
from builder.publish import checksums
from builder.verify.report import Check
from builder.verify.sums import check_sums

TOOL = "ssh-keygen"
NAMESPACE = "detector-handbook"
"""What the signature is for; one made for anything else does not count."""

UNSIGNED = (
    "the site is not signed. Whoever can rewrite the whole folder, its kept content and every copy of its checksums "
    "is found by a key alone: sign it with `handbook sign`, and give those who examine it --signers"
)


def sign(root: Path, key: Path) -> list[Path]:
    """Sign the checksums of a site with an OpenSSH key, and those of its frozen revisions that nobody signed yet.

    The signature of a revision stands beside its folder, which never changes, and later builds carry it over.

    :raises PublishError: when there is nothing to sign, the site is not what its list says, or the tool refuses.
    """
    if not (root / checksums.NAME).is_file():
        raise PublishError(f"{root} is no published site: it has no {checksums.NAME}")
    if not key.is_file():
        raise PublishError(f"no key {key}")
    whole = Check("checksums")
    check_sums(root, whole, "")
    if whole.faults:
        more = f" and {len(whole.faults) - 1} more" if len(whole.faults) > 1 else ""
        raise PublishError(f"{root} is not signed, since it is not what its list says: {whole.faults[0]}{more}")
    pairs = [(root / checksums.NAME, root / checksums.SIGNATURE)]
    for listed, signature in signable(root):
        if not signature.is_file():
            pairs.append((listed, signature))
    for listed, signature in pairs:
        done = _run(["-Y", "sign", "-q", "-f", str(key), "-n", NAMESPACE], listed.read_bytes())
        if done.returncode or not done.stdout.startswith(b"-----BEGIN SSH SIGNATURE-----"):
            raise PublishError(f"{TOOL} did not sign: {_said(done)}")
        signature.write_bytes(done.stdout)
    return [signature for _, signature in pairs]


def signable(root: Path) -> list[tuple[Path, Path]]:
    """List of checksums and place of its signature, for each frozen revision."""
    folders = revision_folders(root)
    return [(folder / checksums.NAME, root / FOLDER / f"{number}.sig") for number, folder in folders.items()]


def check_signatures(root: Path, signers: Path | None, check: Check) -> None:
    """Every signature of the site and its revisions is by somebody in the list of trusted signers.

    :param signers: the list; without one the copy in the site itself is taken, which says less. With one the site
        must be signed.
    """
    pairs = [(root / checksums.NAME, root / checksums.SIGNATURE), *signable(root)]
    signed = [pair for pair in pairs if pair[1].is_file()]
    if pairs[0] not in signed:
        check.note = UNSIGNED
        if signers is not None:
            check.expect(False, checksums.SIGNATURE, "is missing: the site is not signed")
    trusted = signers or root / checksums.SIGNERS
    if signed and not trusted.is_file():
        check.expect(False, "", f"no list of trusted signers at {trusted} (a line a signer: name, public key)")
        return
    by = {name for listed, signature in signed for name in _signer(root, listed, signature, trusted, check)}
    if by:
        own = f" by the site's own {checksums.SIGNERS}; give --signers to rest on a list of your own"
        check.note = f"signed by {', '.join(sorted(by))}" + ("" if signers else own)


def _signer(root: Path, listed: Path, signature: Path, trusted: Path, check: Check) -> list[str]:
    what = signature.relative_to(root).as_posix()
    name = _principal(trusted, signature)
    if not check.expect(bool(name), what, f"not by anybody in {trusted.name}"):
        return []
    wanted = ["-Y", "verify", "-f", str(trusted), "-I", name, "-n", NAMESPACE, "-s", str(signature)]
    done = _run(wanted, listed.read_bytes())
    return [name] if check.expect(done.returncode == 0, what, f"not a signature of {checksums.NAME} as it is") else []


def _principal(trusted: Path, signature: Path) -> str:
    done = _run(["-Y", "find-principals", "-f", str(trusted), "-s", str(signature)])
    lines = done.stdout.decode(errors="replace").split("\n") if done.returncode == 0 else []
    return next((line.strip() for line in lines if line.strip()), "")


def _run(arguments: Sequence[str], data: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    tool = shutil.which(TOOL)
    if tool is None:
        raise PublishError(f"{TOOL} is missing. Debian/Ubuntu: apt install openssh-client; Fedora: dnf install openssh")
    return subprocess.run([tool, *arguments], input=data, capture_output=True, check=False)  # noqa: S603 - no shell


def _said(done: subprocess.CompletedProcess[bytes]) -> str:
    return re.sub(r"\s+", " ", done.stderr.decode(errors="replace")).strip() or f"status {done.returncode}"
