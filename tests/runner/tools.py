"""Programs that some tests drive: found, installed where that is allowed, or asked for."""

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass

from tests.runner.steps import ROOT, variables


@dataclass(frozen=True)
class Tool:
    """A program, the marker of the tests that drive it, and the packages that bring it."""

    mark: str
    title: str
    programs: tuple[tuple[str, ...], ...]  # one of each group; the first group is the program itself
    packages: tuple[str, ...]

    def find(self) -> str | None:
        """Return the path of the program, or None if it, or one that it needs, is missing."""
        found = [next(filter(None, map(shutil.which, group)), None) for group in self.programs]
        return found[0] if all(found) else None

    def commands(self) -> list[list[str]]:
        """Return the commands that install it."""
        return [
            ["apt-get", "update"],
            ["apt-get", "install", "-y", "--no-install-recommends", *self.packages],
        ]


BROWSER = Tool(
    mark="browser",
    title="Chromium",
    programs=(("/usr/bin/chromium", "chromium", "chromium-browser", "google-chrome"),),
    packages=("chromium",),
)
OFFICE = Tool(
    mark="office",
    title="LibreOffice",
    programs=(("soffice", "libreoffice"), ("pdftoppm",)),
    packages=("libreoffice-calc", "poppler-utils"),
)
TOOLS = (BROWSER, OFFICE)


def count_marked(pytest_args: list[str], thorough: bool = False) -> Counter[str]:
    """Return how many of the tests asked for carry each tool's marker; nothing where pytest is missing."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.runner.counting", *pytest_args],
        cwd=ROOT,
        env=variables(thorough),
        check=False,
        capture_output=True,
        text=True,
    )
    return Counter(json.loads(done.stdout) if done.returncode == 0 else {})


def make_ready(tool: Tool) -> bool:
    """Install the tool if this user may; otherwise print the line to run. Say whether it is there now."""
    if is_root() and shutil.which("apt-get"):
        print(f"Installing {tool.title}: {install_line(tool)}", flush=True)
        if install(tool) and tool.find():
            return True
    print(f"{tool.title} is missing. Run: {install_line(tool)}", flush=True)
    return False


def is_root() -> bool:
    """Say whether packages may be installed."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def install_line(tool: Tool) -> str:
    """Return what a person types to install the tool."""
    sudo = "" if is_root() else "sudo "
    return " && ".join(sudo + " ".join(command) for command in tool.commands())


def install(tool: Tool) -> bool:
    """Run the commands that install the tool; show the end of what they said if one fails."""
    for command in tool.commands():
        done = subprocess.run(
            command,
            check=False,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
        )
        if done.returncode:
            print("\n".join(done.stdout.splitlines()[-10:]), flush=True)
            return False
    return True
