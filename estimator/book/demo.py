"""What of a price book is still the invented demo: prices one by one, company and terms that nobody else has."""

from typing import Any

__all__ = ["same_at", "without_demo"]

RATES = {"standing_time", "more_wear"}


def _at(document: object, path: str) -> object:
    """Return what stands at a path of a document, None where nothing does; a name may hold dots."""
    if not path:
        return document
    if not isinstance(document, dict):
        return None
    names = (key for key in document if path == key or path.startswith(f"{key}."))
    return next((found for key in names if (found := _at(document[key], path[len(key) + 1 :])) is not None), None)


def same_at(path: str, document: dict[str, Any], demo: dict[str, Any]) -> bool:
    """Return whether a book still has the demo's value at a path."""
    found = _at(document, path)
    return found is not None and found == _at(demo, path)


def without_demo(document: dict[str, Any], demo: dict[str, Any]) -> dict[str, Any]:
    """Return a book without the company and terms of the demo, where it is not the demo any more.

    A book of the shop's own makes none of the demo's promises; one in another currency has none of its rates.
    """
    own = document.get("invented") is not True
    other = document.get("currency") != demo["currency"]
    company, terms = document.get("company"), document.get("terms")
    found = dict(document)
    if own and isinstance(company, dict):
        found["company"] = {key: value for key, value in company.items() if value != demo["company"].get(key)} or None
    if isinstance(terms, dict):
        usual = demo["terms"]
        same = {key for key, value in terms.items() if value == usual.get(key)}
        lost = same if own else same & RATES if other else set[str]()
        found["terms"] = {key: _own_words(value, usual.get(key)) for key, value in terms.items() if key not in lost}
    return found


def _own_words(said: Any, demo: Any) -> Any:  # noqa: ANN401  # a text, or texts by language
    """Return a text by language without the languages in which only the demo tells another one."""
    if not isinstance(said, dict) or not isinstance(demo, dict) or said == demo:
        return said
    return {language: text for language, text in said.items() if text != demo.get(language)} or said
