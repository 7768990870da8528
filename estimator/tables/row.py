"""What every row of a table has: where it stands and what kind of evidence that is."""

from typing import ClassVar

from estimator.fields import Document
from estimator.formula import Mark

__all__ = ["Row"]


class Row(Document):
    """One fact, with where it stands and what kind of evidence that is."""

    key_field: ClassVar[str] = "name"
    sheds: ClassVar[dict[str, tuple[str, ...]]] = {}  # fields of the row beneath that mean nothing beside a new one
    source: str
    mark: Mark
