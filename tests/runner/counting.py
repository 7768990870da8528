"""Count the tests that drive a program: `python -m tests.runner.counting [pytest arguments]` prints JSON."""

import contextlib
import io
import json
import sys
from collections import Counter

import pytest

from tests.runner.tools import TOOLS


class MarkCounter:
    """A pytest plugin that counts collected tests by the marker of their program."""

    def __init__(self) -> None:
        self.counts = Counter({tool.mark: 0 for tool in TOOLS})

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        """Count what is left after every selection."""
        for item in session.items:
            self.counts.update(tool.mark for tool in TOOLS if item.get_closest_marker(tool.mark))


def main(args: list[str]) -> None:
    """Collect as pytest would, in silence, and print the counts."""
    counter = MarkCounter()
    with contextlib.redirect_stdout(io.StringIO()):
        pytest.main([*args, "--collect-only"], plugins=[counter])
    print(json.dumps(counter.counts))


if __name__ == "__main__":
    main(sys.argv[1:])
