"""The map in DEVELOPERS.md names every room, and the tests mirror the rooms both ways."""

import re
from collections.abc import Collection, Iterable, Mapping

from tests.test_house import ROOT, SOURCES, short

MIRRORS = ("tests/api", "tests/estimator", "tests/exports")
LONG_ENOUGH = 60  # lines from which a module's room has tests of its own
HELD_ELSEWHERE = {  # rooms with no tests of their own, and what holds them
    "api/store/migrations/versions": "tests/api/store/test_schema.py",  # each version is built and compared from there
}
MAP = re.compile(r"^    ( {2}(?! ))?((?:[\w./]+ )+)", re.MULTILINE)


def mapped() -> set[str]:
    """Return every folder that the map in DEVELOPERS.md names, by its path."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("\n## Map\n")[2].partition("\n## ")[0]
    found, house = set[str](), ""
    for inner, names in MAP.findall(text):
        folders = [name for name in names.split() if name.endswith("/")]
        house = house if inner else "".join(folders)
        found |= {f"{house if inner else ''}{name}".rstrip("/") for name in folders}
    return found


def test_each_room_stands_in_the_map() -> None:
    folders = {short(path.parent) for path in SOURCES if path.name == "__init__.py"}
    rooms = {name for name in folders if name.count("/") < 2 and not name.startswith(MIRRORS)}
    assert rooms == mapped() - {"sample_jobs"}


NAMED = ("api/access", "api/work", "estimator/days", "estimator/money", "estimator/steps", "estimator/weld")


def test_each_file_of_a_room_that_lists_its_files_stands_in_the_map() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("\n## Map\n")[2].partition("\n## ")[0]
    words = set(re.findall(r"\w+", text))
    stems = [path.stem for path in SOURCES if short(path.parent) in NAMED and path.name != "__init__.py"]
    assert len(stems) > 40
    assert [stem for stem in stems if stem not in words] == []


def out_of_place(files: Iterable[str], rooms: Collection[str]) -> list[str]:
    """Return the files among the mirroring tests that lie in no room's mirror."""
    mirroring = [name for name in files if name.startswith(MIRRORS)]
    return [name for name in mirroring if name.rpartition("/")[0].removeprefix("tests/") not in rooms]


def unheld(modules: Mapping[str, int], files: Collection[str]) -> list[str]:
    """Return the modules of some length, by the number of their lines, whose room's mirror has no file of tests."""
    tested = {name.rpartition("/")[0] for name in files if name.rpartition("/")[2].startswith("test_")}
    return [
        name
        for name, lines in modules.items()
        if lines >= LONG_ENOUGH and f"tests/{name.rpartition('/')[0]}" not in tested
    ]


def test_tests_mirror_the_rooms() -> None:
    lengths = {short(path): len(path.read_text("utf-8").splitlines()) for path in SOURCES}
    modules = {name: length for name, length in lengths.items() if not name.startswith("tests/")}
    tests = lengths.keys() - modules.keys()
    assert out_of_place(tests, {name.rpartition("/")[0] for name in modules}) == []
    assert {name.rpartition("/")[0] for name in unheld(modules, tests)} == set(HELD_ELSEWHERE)
    assert [file for file in HELD_ELSEWHERE.values() if file not in tests] == []


def test_a_test_in_a_wrong_room_and_a_room_without_tests_are_found() -> None:
    rooms = {"api", "api/store"}
    files = ["tests/api/test_a.py", "tests/api/office/test_b.py", "tests/published/test_c.py"]
    assert out_of_place(files, rooms) == ["tests/api/office/test_b.py"]
    modules = {"api/app.py": 200, "api/store/jobs.py": LONG_ENOUGH, "api/store/clock.py": LONG_ENOUGH - 1}
    assert unheld(modules, files) == ["api/store/jobs.py"]
    assert unheld(modules, [*files, "tests/api/store/nursery.py"]) == ["api/store/jobs.py"]
    assert unheld(modules, [*files, "tests/api/store/test_jobs.py"]) == []
