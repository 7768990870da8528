"""How far long work is, on standard error: a bar once it has taken a second, and only for who sits at a terminal."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

__all__ = ["progress"]

PATIENCE = 1.0  # [s] before there is a bar


@contextmanager
def progress(said: str) -> Iterator[Callable[[int, int], None]]:
    """Hand out what is told how much is done, and of how much."""
    if sys.stderr is None or not sys.stderr.isatty():
        yield lambda _done, _whole: None
        return
    from rich.console import Console
    from rich.progress import Progress

    began = time.monotonic()
    with Progress(console=Console(stderr=True), transient=True, disable=False) as bar:
        task = bar.add_task(said, visible=False, total=None)

        def told(done: int, whole: int) -> None:
            bar.update(task, completed=done, total=whole, visible=time.monotonic() - began > PATIENCE)

        yield told
