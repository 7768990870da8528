"""The screen that the README shows is the one that the command prints."""

from pathlib import Path

from estimator.book.pricebook import read_pricebook
from estimator.estimate import estimate
from exports.page.estimate import page
from tests.test_house import ROOT

SHOWN = "The screen of `boreworth estimate "


def readme() -> tuple[Path, str]:
    """Return the sample whose screen is shown, and the screen."""
    said = (ROOT / "README.md").read_text("utf-8").partition(SHOWN)[2]
    return ROOT / said.partition("`")[0], said.partition("```text\n")[2].partition("```\n")[0]


def test_the_screen_of_the_readme_is_what_the_command_prints() -> None:
    sample, shown = readme()
    assert shown.split() == page(estimate(sample.read_bytes(), read_pricebook()), "metric", set()).split()


if __name__ == "__main__":  # python -m tests.test_readme: shows it as it is now
    path, old = readme()
    new = page(estimate(path.read_bytes(), read_pricebook()), "metric", set()).strip("\n") + "\n"
    target = ROOT / "README.md"
    target.write_text(target.read_text("utf-8").replace(old, new), "utf-8")
