"""One figure explained, as a page: three lines that answer, then the steps it stands on, as far as a screen holds."""

import re
from typing import Any, NamedTuple

from estimator.errors import UnknownEntryError
from exports.signs import unit_said

__all__ = ["page"]

LINES, PARTS = 40, 8  # of the tree on one screen; of a sum told in one line
PLAIN = re.compile(r"\s*(?:\w+|[-+*/(),. ]|\*\*)+")
WORDS = {"max", "min"}
NAMES = {  # formulas' short names that a reader would stumble over
    "bearing": "cost that margin is put on",
    "charged": "cost passed on as it is",
    "least": "minimum charge",
    "before_tax": "price before tax",
}
SIGNS = ((" ** ", "^"), ("**", "^"), (" * ", " x "))

Step = dict[str, Any]


class Line(NamedTuple):
    """One line of the tree, and the number of the step that it shows."""

    text: str
    step: int


def page(explanation: dict[str, Any], *, step: int | None = None, depth: int | None = None) -> str:
    """Return an explanation as a page for people.

    Parameters
    ----------
    explanation
        The explanation of one figure.
    step
        Number of the step to begin at; else the figure itself.
    depth
        Levels of steps to show; else as many as a screen holds.

    Raises
    ------
    UnknownEntryError
        If the figure stands on no step of that number.
    """
    steps: dict[int, Step] = {one["step"]: _numbers_only(one) for one in explanation["steps"]}
    if not steps:
        said = f": {explanation['meaning']}" if explanation["meaning"] else ""
        return f"{_head(explanation['key'], explanation)}{said}\n  a text of the document, not a figure\n"
    if step is not None and step not in steps:
        raise UnknownEntryError("step behind this figure", str(step), map(str, steps))
    top = steps[_before_its_unit(explanation["steps"][-1])] if step is None else steps[step]
    if step is None:
        first = f"{_head(explanation['key'], explanation)}: {explanation['meaning'] or _said(top)}"
    else:
        first = f"[{step}] {_head(top['name'], top)}: {_said(top)}"
    lines = _tree(top, steps, depth) if depth is not None else _fitting(top, steps)
    shown, below = {line.step for line in lines}, _below(top, steps)
    told = [first, f"  {_words(top, steps)}", f"  {_source(top)}"]
    told += ["", *(line.text for line in lines)] if lines else []
    if hidden := len(below - shown):
        more = "--step N begins at the step [N], --depth N shows N levels, --json has all"
        told += ["", f"{hidden:,} more step{'s' if hidden > 1 else ''} below: {more}"]
    return "\n".join(told) + "\n"


def _numbers_only(step: Step) -> Step:
    """Return a step without what it takes that is no figure: a unit, a last place."""
    return {**step, "inputs": [one for one in step["inputs"] if "step" in one]}


def _before_its_unit(last: Step) -> int:
    """Return the number of the step of a figure before it was put into the document's unit."""
    value, *more = last["inputs"] or [{"name": ""}]
    only_put = value["name"] == "value" and {one["name"] for one in more} in ({"symbol"}, {"symbol", "least"})
    return int(value["step"] if only_put else last["step"])


def _head(name: str, one: dict[str, Any]) -> str:
    return f"{name} = {one['value']} {unit_said(one.get('unit', ''))}".rstrip()


def _value(one: dict[str, Any]) -> str:
    value = one["value"]
    return f"{value:.6g} {unit_said(one.get('unit', ''))}".rstrip() if isinstance(value, float) else _head("", one)[3:]


def _said(step: Step) -> str:
    """Return the words of a step, without the unit at their end."""
    said = re.sub(r"\.?( \[.*\])?$", "", step["text"]).removeprefix("Return ")
    return said[:1].upper() + said[1:] if step["kind"] == "formula" else said


def _words(step: Step, steps: dict[int, Step]) -> str:
    """Return how a step comes about, in words, with what it takes and how much that is."""
    takes = {one["name"]: one for one in step["inputs"]}
    if step["kind"] != "formula":
        return f"{step['kind']}: {', '.join((step['text'], *(f'{name} {_value(one)}' for name, one in takes.items())))}"
    if step["inputs"] and step["inputs"][0]["name"].partition(" ")[0] in ("part_1", "line_1"):
        parts = [f"{_named(one, steps)} {_value(one)}" for one in takes.values()]
        rest = [f"{len(parts) - PARTS} more"] if len(parts) > PARTS else []
        return f"sum of {' + '.join(parts[:PARTS] + rest)}"
    names = set(re.findall(r"[A-Za-z_]\w*", step["formula"]))
    if PLAIN.fullmatch(step["formula"]) and names <= set(takes) | WORDS:
        told = re.sub(r"[A-Za-z_]\w*", lambda found: _with_value(found[0], takes), step["formula"])
        for sign, shown in SIGNS:
            told = told.replace(sign, shown)
        return f"{_said(step)} = {told}"
    return f"{_said(step)}, from {', '.join(_with_value(name, takes) for name in takes)}"


def _with_value(name: str, takes: dict[str, dict[str, Any]]) -> str:
    return f"{_plain(name)} {_value(takes[name])}" if name in takes else name


def _plain(name: str) -> str:
    return NAMES.get(name, name.replace("_", " "))


def _named(one: dict[str, Any], steps: dict[int, Step]) -> str:
    """Return the name of a part of a sum: that of its step."""
    return _whose(one, str(steps[one["step"]]["name"])).replace("_", " ")


def _whose(one: dict[str, Any], name: str) -> str:
    """Return the name of a part of a sum with whose it is, where that is told: "wire of bore A"."""
    kind, _, whose = one["name"].partition(" ")
    if kind.startswith("line_") and whose:
        return str(whose)  # of a bill's line, what it is for
    return f"{name} of {whose}" if whose else name


def _priced(step: Step, steps: dict[int, Step]) -> list[str]:
    """Return which entries of the price book a step takes at once: they tell one line of a bill from another."""
    taken = (steps[one["step"]] for one in step["inputs"])
    return [one["text"].rpartition(": ")[2] for one in taken if one["kind"] == "price"]


def _source(step: Step) -> str:
    if step["source"]:
        return f"source: {step['source']} ({step['mark']})"
    other = {"given": "typed in the job document", "choice": "the program's own choice"}
    return other.get(step["kind"], str(step["text"]))


def _below(top: Step, steps: dict[int, Step]) -> set[int]:
    """Return the numbers of all steps that one stands on."""
    found: set[int] = set()
    due = [top]
    while due:
        numbers = {one["step"] for one in due.pop()["inputs"]} - found
        found |= numbers
        due += [steps[number] for number in numbers]
    return found


def _tree(step: Step, steps: dict[int, Step], depth: int, seen: set[int] | None = None, level: int = 1) -> list[Line]:
    """Return the steps below one, level by level inwards; a step that was shown is not gone through again."""
    seen = set() if seen is None else seen
    lines = []
    for one in step["inputs"] if level <= depth else ():
        here, again = steps[one["step"]], one["step"] in seen
        seen.add(here["step"])
        summed = one["name"].startswith(("part_", "line_"))
        name = _whose(one, here["name"]) if summed else NAMES.get(one["name"], one["name"])
        said = "as above" if again else "; ".join((_said(here), *_priced(here, steps)))
        lines.append(Line(f"{'  ' * level}{name} = {_value(one)}  {said} [{here['step']}]", here["step"]))
        if not again:
            lines += _tree(here, steps, depth, seen, level + 1)
    return lines


def _fitting(top: Step, steps: dict[int, Step]) -> list[Line]:
    """Return as many levels of the tree as a screen holds, of the first level what it holds."""
    lines = _tree(top, steps, 1)[:LINES]
    for depth in range(2, LINES):
        deeper = _tree(top, steps, depth)
        if len(deeper) > LINES or len(deeper) == len(lines):
            break
        lines = deeper
    return lines
