"""Make the private environment that run.py and test.py start from, with nothing but a plain Python.

The environment lives in `.padbook/` beside this folder and is only called ready by a stamp written last, so that a
failure half-way is simply begun again. Debian packages that are missing are named, and installed where that is allowed.
"""

from __future__ import annotations

import ctypes
import fcntl
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
HOME = ROOT / ".padbook"
ENVIRONMENT = HOME / f"env-{sys.version_info[0]}.{sys.version_info[1]}"
STAMP = ENVIRONMENT / "ready.json"
CONSTRAINTS = ROOT / "scripts" / "constraints.txt"
LOG = HOME / "setup.log"

WINDOW_LIBRARIES = {
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libglib-2.0.so.0": "libglib2.0-0",
}
X11_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}


WARM = "from arsenal.acts.warming import warm; warm()"


class SetupError(Exception):
    """Setting up could not go on; the message is a finished sentence with the next step."""


def say(sentence: str) -> None:
    """One line to the person who started the script."""
    print(sentence, file=sys.stderr, flush=True)


def check_python() -> None:
    """Raise SetupError on a Python this program is not made for."""
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        found = ".".join(map(str, sys.version_info[:3]))
        raise SetupError(f"Padbook needs Python 3.11, 3.12 or 3.13; this is {found}. Start it with one of those.")


def python() -> Path:
    """The environment's own Python."""
    return ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Hold the set-up lock, so that two first starts do not build the same environment together."""
    HOME.mkdir(exist_ok=True)
    with (HOME / "setup.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def wanted(extras: tuple[str, ...]) -> dict[str, object]:
    """What the environment must hold, as the stamp records it."""
    made_from = hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + CONSTRAINTS.read_bytes()).hexdigest()
    return {"made_from": made_from, "python": sys.version, "where": str(ROOT), "extras": sorted(extras)}


def is_ready(extras: tuple[str, ...]) -> bool:
    """Whether a finished environment with at least `extras` stands there."""
    try:
        stamp = json.loads(STAMP.read_text("utf-8"))
    except (OSError, ValueError):
        return False
    need = wanted(extras)
    has_extras = set(extras) <= set(stamp.pop("extras", []))
    need.pop("extras")
    return has_extras and stamp == need and python().exists()


def run_logged(command: list[str], failed: str) -> None:
    """Run `command` with its output in the set-up log. Raises SetupError with `failed` and the last lines."""
    with LOG.open("a", encoding="utf-8") as log:
        log.write(f"\n$ {' '.join(command)}\n")
        log.flush()
        code = subprocess.run(command, stdout=log, stderr=subprocess.STDOUT, check=False).returncode
    if code:
        tail = "\n".join(LOG.read_text("utf-8", errors="replace").splitlines()[-6:])
        raise SetupError(f"{failed} The last lines of {LOG} say:\n{tail}")


def make(extras: tuple[str, ...]) -> None:
    """Build the environment, or bring it up to date. Raises SetupError."""
    with one_at_a_time():
        if is_ready(extras):
            return
        had: set[str] = set()
        if STAMP.exists():
            had = set(json.loads(STAMP.read_text("utf-8")).get("extras", []))
            STAMP.unlink()
        elif ENVIRONMENT.exists():
            say("An earlier set-up stopped half-way; starting it again.")
            shutil.rmtree(ENVIRONMENT)
        if not python().exists():
            say(f"Making a private environment in {ENVIRONMENT} …")
            have_venv()
            run_logged([sys.executable, "-m", "venv", str(ENVIRONMENT)], "The private environment could not be made.")
        everything = tuple(sorted(had | set(extras)))
        say("Installing what Padbook needs; the first time takes a minute or two …")
        target = f"{ROOT}[{','.join(everything)}]" if everything else str(ROOT)
        run_logged(
            [
                str(python()),
                "-m",
                "pip",
                "install",
                "--disable-pip-version-check",
                "-c",
                str(CONSTRAINTS),
                "-e",
                target,
            ],
            "The packages could not be installed. Is the network there? Start the same command again when it is.",
        )
        run_logged([str(python()), "-c", WARM], "The engine could not be compiled.")
        part = STAMP.with_suffix(".part")
        part.write_text(json.dumps(wanted(everything)), "utf-8")
        part.replace(STAMP)


def have_venv() -> None:
    """Make sure `venv` and `ensurepip` are there (Debian keeps them in a package of their own)."""
    try:
        import ensurepip  # noqa: F401, PLC0415 - only looked for
        import venv  # noqa: F401, PLC0415
    except ImportError:
        packages = [f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"]
        install_debian(packages, "to make a private environment")


def missing_libraries(*groups: dict[str, str]) -> list[str]:
    """Debian packages whose libraries cannot be loaded here."""
    missing = []
    for library, package in (item for group in groups for item in group.items()):
        try:
            ctypes.CDLL(library)
        except OSError:
            missing.append(package)
    return missing


def install_debian(packages: list[str], purpose: str) -> None:
    """Install `packages` where this user may; else raise SetupError with the command to type."""
    names = " ".join(packages)
    if shutil.which("apt-get") is None:
        raise SetupError(f"Missing {purpose}: the system libraries that Debian packages as {names}.")
    if os.geteuid() != 0:
        raise SetupError(f"Missing {purpose}: {names}. Install them with:\n  sudo apt-get install {names}")
    say(f"Installing the Debian packages missing {purpose}: {names} …")
    HOME.mkdir(exist_ok=True)
    os.environ.setdefault("DEBIAN_FRONTEND", "noninteractive")
    failed = f"apt-get could not install {names}."
    run_logged(["apt-get", "update", "-q"], failed)
    run_logged(["apt-get", "install", "-y", "-q", "--no-install-recommends", *packages], failed)


def prepare(extras: tuple[str, ...] = ()) -> None:
    """Everything between a plain Python and a ready environment. Raises SetupError."""
    check_python()
    if is_ready(extras):
        return
    try:
        make(extras)
    except OSError as error:
        raise SetupError(f"The private environment could not be written in {HOME}: {error}.") from error
