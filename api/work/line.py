"""What goes through the pipes between the service and a worker: plain values only, each with its length before it."""

import marshal
import struct
from typing import IO, Any

__all__ = ["give", "take"]

LENGTH = struct.Struct(">Q")


def give(pipe: IO[bytes], message: tuple[Any, ...]) -> None:
    """Write a message; raise `OSError` where nobody reads any more."""
    data = marshal.dumps(message)
    pipe.write(LENGTH.pack(len(data)) + data)
    pipe.flush()


def take(pipe: IO[bytes]) -> tuple[Any, ...] | None:
    """Return the next message, waiting for it; None where whoever wrote is gone."""
    head = pipe.read(LENGTH.size)
    if len(head) < LENGTH.size:
        return None
    (size,) = LENGTH.unpack(head)
    data = pipe.read(size)
    if len(data) < size:
        return None
    found: tuple[Any, ...] = marshal.loads(data)  # written by ourselves, in the same version of Python
    return found
