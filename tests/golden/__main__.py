"""Tell what changed against what is held, or hold what is: `python -m tests.golden [--write] [--against REV]`."""

import argparse
import json
import sys
from pathlib import Path

from tests.golden.against import against, held_at
from tests.golden.hold import HELD, changes, computed, document_of, names


def read_choice(argv: list[str]) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.golden", description=__doc__)
    parser.add_argument("--write", action="store_true", help="hold what is now")
    parser.add_argument("--against", metavar="REV", help="tell key by key what moved since a revision")
    parser.add_argument("--only", action="append", metavar="NAME", help="this job alone, as 'random 7'; again for more")
    parser.add_argument("--dump", type=Path, metavar="FILE", help="write all documents, a line each")
    parser.add_argument("--processes", type=int, default=2)
    choice = parser.parse_args(argv)
    if unknown := sorted(set(choice.only or ()) - set(names())):
        parser.error(f"no job {', '.join(map(repr, unknown))}; known are the samples and 'random 0' onwards")
    if choice.write and choice.only:
        parser.error("all jobs are held together, or none: --write goes without --only")
    return choice


def main(argv: list[str]) -> int:
    """Compare, print, and write where asked."""
    choice = read_choice(argv)
    wanted = choice.only or names()
    if choice.dump:
        lines = (json.dumps([name, document_of(name)], ensure_ascii=False) for name in wanted)
        choice.dump.write_text("\n".join(lines), "utf-8")
        return 0
    after = computed(choice.processes, wanted)
    if choice.against:
        before = held_at(choice.against)
        print("\n".join(against(choice.against, [name for name in wanted if before.get(name) != after[name]])))
        return 0
    before = json.loads(HELD.read_text("utf-8")) if HELD.exists() else {}
    found = list(changes({name: before[name] for name in before if not choice.only or name in wanted}, after))
    print("\n".join(found) or "nothing changed")
    print(f"{len(found)} of {len(after)} changed")
    if choice.write:
        HELD.write_text(json.dumps(after, indent=0) + "\n", "utf-8")
    return int(bool(found) and not choice.write)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
