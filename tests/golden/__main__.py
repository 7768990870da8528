"""Tell what changed against what is held, or hold what is: `python -m tests.golden [--write] [--dump FILE]`."""

import argparse
import json
import sys
from pathlib import Path

from tests.golden.hold import HELD, changes, computed, document_of, names


def main() -> int:
    """Compare, print, and write where asked."""
    parser = argparse.ArgumentParser(prog="python -m tests.golden", description=__doc__)
    parser.add_argument("--write", action="store_true", help="hold what is now")
    parser.add_argument("--dump", type=Path, metavar="FILE", help="write all documents, a line each")
    parser.add_argument("--processes", type=int, default=2)
    choice = parser.parse_args()
    if choice.dump:
        lines = (json.dumps([name, document_of(name)], ensure_ascii=False) for name in names())
        choice.dump.write_text("\n".join(lines), "utf-8")
        return 0
    before = json.loads(HELD.read_text("utf-8")) if HELD.exists() else {}
    after = computed(choice.processes)
    found = list(changes(before, after))
    print("\n".join(found) or "nothing changed")
    print(f"{len(found)} of {len(after)} changed")
    if choice.write:
        HELD.write_text(json.dumps(after, indent=0) + "\n", "utf-8")
    return int(bool(found) and not choice.write)


if __name__ == "__main__":
    sys.exit(main())
