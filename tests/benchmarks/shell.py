"""The command against importing its two libraries, all of it compiled before."""

import os
import tempfile

from tests.benchmarks.ratio import ROOT, Ratio, of_child

__all__ = ["shell_ratio"]

SAMPLE = min((ROOT / "sample_jobs").glob("*.json"))


def shell_ratio() -> Ratio:
    """Return the time of `boreworth estimate` over that of the imports."""
    with tempfile.TemporaryDirectory() as compiled:
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        kept["PYTHONPYCACHEPREFIX"] = compiled
        commands = (["-m", "api.commands", "estimate", str(SAMPLE)], ["-c", "import numpy, pydantic"])
        for words in commands:
            of_child(words, 1, env=kept)
        ours, bare = (of_child(words, env=kept) for words in commands)
    return Ratio("boreworth estimate from the shell", ours / bare, 2.5, f"{1e3 * ours:.0f} against {1e3 * bare:.0f} ms")
