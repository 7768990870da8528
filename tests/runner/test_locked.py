"""The locked set has every package of pyproject.toml at a version within its range, each file with its hash."""

import re
import tomllib
from collections import defaultdict

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.runner.steps import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
WANTED = [
    *PROJECT["build-system"]["requires"],
    *PROJECT["project"]["dependencies"],
    *(one for extra in PROJECT["project"]["optional-dependencies"].values() for one in extra),
]
HASHES = re.compile(r"(?: \\\n    --hash=sha256:[0-9a-f]{64})+\Z")  # one or more, and nothing else


def entries() -> list[tuple[Requirement, str]]:
    """Return each entry of the locked set: the package as required, and what follows it."""
    text = re.sub(r"^#.*\n", "", (ROOT / ".ci" / "locked.txt").read_text(), flags=re.MULTILINE)
    heads = re.split(r"\n(?=\S)", text.strip())
    return [(Requirement(head.partition(" \\\n")[0]), head[len(head.partition(" \\\n")[0]) :]) for head in heads]


def test_each_requirement_is_locked_within_its_range() -> None:
    locked = defaultdict(list)
    for requirement, _ in entries():
        locked[canonicalize_name(requirement.name)].append(str(requirement.specifier).removeprefix("=="))
    for wanted in map(Requirement, WANTED):
        versions = locked[canonicalize_name(wanted.name)]
        assert versions, wanted
        assert all(version in wanted.specifier for version in versions), wanted


@pytest.mark.parametrize(("requirement", "rest"), entries(), ids=lambda part: getattr(part, "name", ""))
def test_each_locked_package_is_one_version_with_the_hashes_of_its_files(requirement: Requirement, rest: str) -> None:
    assert str(requirement.specifier).startswith("==")
    assert HASHES.match(rest)
