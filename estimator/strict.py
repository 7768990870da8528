"""Strict JSON in, canonical JSON and its hash out; and a validation error as faults with path and cure."""

import hashlib
import json
import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from estimator.errors import MOST_TOLD, DocumentError, Fault, nearest, rest
from estimator.signs import unfit

__all__ = ["LARGEST_DOCUMENT", "canonical", "faults_of", "merge", "parse", "sha256", "validated"]

LARGEST_DOCUMENT = 2 * 1024 * 1024  # [bytes]
MOST_KEYS = 10_000  # in one object; a price book with everything in it has some hundred
DEEPEST = 40  # levels; a job needs seven
LONGEST_STEP = 80  # characters of a key in a path
# Such signs as they are, or escaped; looking closer is only worth it where there may be one.
MAYBE_UNFIT = re.compile(
    r"[\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]|\\(?:[bfrt]|u(?:00[0-9]|061|20[026]|fef))",
    re.IGNORECASE,
)
M = TypeVar("M", bound=BaseModel)

SAID = {
    "missing": "is missing",
    "string_type": "must be a text",
    "float_type": "must be a plain number",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
    "list_type": "must be a list",
    "tuple_type": "must be a list",
    "model_type": "must be an object",
    "model_attributes_type": "must be an object",
    "dict_type": "must be an object",
}
TRUTHS = {"yes": "true", "true": "true", "no": "false", "false": "false"}
TYPED_NUMBER = re.compile(r"-?(?:[0-9]{1,12}|[0-9]{1,3}(?:[, ][0-9]{3}){1,3})(?:\.[0-9]{1,12})?")
BOUNDS = {
    "greater_than": "must be greater than {gt:g}",
    "greater_than_equal": "must be greater than or equal to {ge:g}",
    "less_than": "must be less than {lt:g}",
    "less_than_equal": "must be less than or equal to {le:g}",
}


def _no_constant(name: str) -> float:
    raise DocumentError([Fault("", f"{name} is no number in JSON; write a finite number")])


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise DocumentError([Fault("", f"{text[:40]} is too large a number")])
    return number


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(pairs) > MOST_KEYS:
        raise DocumentError([Fault("", f"an object holds {len(pairs)} keys; {MOST_KEYS} at most")])
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = Counter(key for key, _ in pairs).most_common(1)[0][0]
        raise DocumentError([Fault("", f"the key {twice[:60]!r} stands twice in one object; keep one")])
    return found


def _too_deep(item: object) -> bool:
    """Return whether containers lie deeper than is allowed, level by level."""
    level: list[Any] = [item]
    for _ in range(DEEPEST):
        inside = (here.values() if type(here) is dict else here for here in level)
        level = [one for values in inside for one in values if type(one) is dict or type(one) is list]
        if not level:
            return False
    return True


def _encodes(found: object) -> bool:
    try:
        canonical(found)
    except UnicodeEncodeError:
        return False
    return True


def parse(text: bytes | str) -> dict[str, Any]:
    """Return the object in a JSON text (UTF-8, a byte order mark allowed); raise `DocumentError` otherwise."""
    if len(text) > LARGEST_DOCUMENT:
        raise DocumentError([Fault("", f"the document is larger than {LARGEST_DOCUMENT // 2**20} MB")])
    try:
        decoded = text.decode("utf-8-sig") if isinstance(text, bytes) else text.removeprefix("\ufeff")
        found = json.loads(decoded, parse_constant=_no_constant, parse_float=_finite, object_pairs_hook=_unique)
    except UnicodeDecodeError as error:
        raise DocumentError([Fault("", f"byte {error.start} is not UTF-8; save the file as UTF-8")]) from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise DocumentError([Fault("", f"not JSON at {where}: {error.msg.lower()}")]) from None
    except RecursionError:
        raise DocumentError([Fault("", f"nested deeper than {DEEPEST} levels")]) from None
    except DocumentError:
        raise
    except ValueError:
        raise DocumentError([Fault("", "a number has too many digits")]) from None
    if "\\ud" in decoded.lower() and not _encodes(found):
        raise DocumentError([Fault("", "a text holds half a character (a lone surrogate); write it whole")])
    if not isinstance(found, dict):
        raise DocumentError([Fault("", "an object is due: the document begins with { and ends with }")])
    if _too_deep(found):
        raise DocumentError([Fault("", f"nested deeper than {DEEPEST} levels")])
    if MAYBE_UNFIT.search(decoded) and (faults := list(_unfit_texts(found, ()))):
        raise DocumentError(faults)
    return found


def _unfit_texts(item: object, path: tuple[str, ...]) -> Iterator[Fault]:
    """Yield a fault for each text or key that holds a control or direction character."""
    if isinstance(item, str):
        if said := unfit(item):
            yield Fault(".".join(path), said)
    elif isinstance(item, dict):
        for key, value in item.items():
            if said := unfit(key):
                yield Fault(".".join(path), f"the key {key[:60]!a} {said}")
            else:
                yield from _unfit_texts(value, (*path, key[:LONGEST_STEP]))
    elif isinstance(item, list):
        for number, value in enumerate(item):
            yield from _unfit_texts(value, (*path, str(number)))


def canonical(document: object) -> bytes:
    """Return sorted, compact UTF-8 JSON."""
    text = json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    return text.encode("utf-8")


def sha256(document: object) -> str:
    """Return the SHA-256 of the canonical JSON, in hexadecimal."""
    return hashlib.sha256(canonical(document)).hexdigest()


def merge(target: object, patch: object) -> Any:  # noqa: ANN401  # JSON is of any type
    """Return target with the JSON merge patch applied (RFC 7396)."""
    if not isinstance(patch, Mapping):
        return patch
    result = dict(target) if isinstance(target, Mapping) else {}
    for key, value in patch.items():
        if value is None:
            result.pop(key, None)
        else:
            result[key] = merge(result.get(key), value)
    return result


def _keys_at(model: type[BaseModel], path: tuple[int | str, ...]) -> list[str]:
    """Return the keys the model knows at a path, followed through lists and nested models."""
    here: Any = model
    for step in path:
        fields = getattr(here, "model_fields", {})
        if isinstance(step, str) and step in fields:
            here = _inner(fields[step].annotation)
    return [field.alias or name for name, field in getattr(here, "model_fields", {}).items()]


def _inner(annotation: Any) -> Any:  # noqa: ANN401  # annotations are of any type
    """Return the model inside an annotation such as tuple[Bore, ...] or Site | None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        found = _inner(part)
        if found is not None:
            return found
    return None


def _typed(kind: str, item: object, expected: str) -> str:
    """Return how what was typed would be right, where that can be told from it: "; write 9400"; else nothing."""
    if kind == "literal_error":
        words = {word.casefold(): word for word in re.findall(r"'([^']*)'", expected)}
        typed = {True: "yes", False: "no"}[item] if isinstance(item, bool) else str(item).strip().casefold()
        return f'; write "{words[typed]}"' if typed in words else ""
    if kind == "bool_type":
        truth = TRUTHS.get(str(item).strip().casefold())
        return f"; write {truth}" if truth else ""
    if kind == "string_type" and isinstance(item, int | float) and not isinstance(item, bool):
        return f'; write "{item}"'
    text = item.strip() if isinstance(item, str) else ""
    if kind in ("float_type", "int_type") and TYPED_NUMBER.fullmatch(text):
        return f" and not a text; write {text.replace(',', '').replace(' ', '')} without quotes"
    return ""


def _message(model: type[BaseModel], error: ErrorDetails) -> str:
    kind, context, path = error["type"], error.get("ctx", {}), error["loc"]
    if kind == "extra_forbidden":
        near = nearest(str(path[-1]), _keys_at(model, path[:-1]), 1)
        known = ", ".join(_keys_at(model, path[:-1]))
        return "unknown key; " + (f'did you mean "{near[0]}"?' if near else f"known here: {known}")
    if kind == "value_error":
        return str(context["error"])
    item, expected = error.get("input"), str(context.get("expected", ""))
    cure = _typed(kind, item, expected)
    typed = str(item).lower() if isinstance(item, bool) else repr(str(item)[:40])
    said = f"must be {expected}, not {typed}{cure}" if kind == "literal_error" else None
    if kind in ("too_short", "too_long"):
        few = kind == "too_short"
        bound = context.get("min_length") if few else context.get("max_length")
        return f"holds too {'few; at least' if few else 'many; at most'} {bound}"
    if kind in BOUNDS:
        return BOUNDS[kind].format(**context)
    return said or SAID.get(kind, error["msg"].replace("Input should", "must")) + cure


def faults_of(model: type[BaseModel], error: ValidationError, prefix: str = "") -> list[Fault]:
    """Return the faults in a validation error, each with its path and what would be right; of many how many more."""
    found: dict[Fault, None] = {}
    every = error.errors(include_url=False)
    for number, one in enumerate(every):
        if one["type"] == "too_short" and any(_inside(other, one) for other in every):
            continue  # few are left because others are wrong, and that is told
        if len(found) == MOST_TOLD:
            more = len(every) - number
            return [*found, rest(more)]
        steps = [str(step)[:LONGEST_STEP] for step in one["loc"] if not _is_tag(step)]
        steps += [at] if (at := getattr(one.get("ctx", {}).get("error"), "path", "")) else []
        found[Fault(".".join([prefix, *steps] if prefix else steps), _message(model, one))] = None
    return list(found)


def _inside(other: ErrorDetails, one: ErrorDetails) -> bool:
    """Return whether an error lies inside the place of another."""
    return len(other["loc"]) > len(one["loc"]) and other["loc"][: len(one["loc"])] == one["loc"]


def _is_tag(step: int | str) -> bool:
    """Return whether a step only names a branch of a union, not a key of the document."""
    return isinstance(step, str) and step.startswith("<")


def validated(model: type[M], document: object, context: Mapping[str, object], prefix: str = "") -> M:
    """Return the document as that model; raise `DocumentError` with every fault."""
    try:
        return model.model_validate(document, context=dict(context))
    except ValidationError as error:
        raise DocumentError(faults_of(model, error, prefix)) from None
