"""The plate round a boss, and where it ends. [SI]"""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from estimator.errors import AtError
from estimator.fields import Document, PartSize, Plate

__all__ = ["Ends", "PlateAround"]

Ends = Literal["none", "side", "corner", "strip", "lug", "round"]


class PlateAround(Document):
    """The plate that a boss sits in: its thickness, on which sides it ends, how near, a lug's neck, one plate or two.

    `reach` goes from the bore's centre to the nearest free edge.
    """

    thickness: Plate | None = None
    ends: Ends | None = None
    reach: PartSize | None = None
    neck: PartSize | None = None
    plates: Annotated[int, Field(strict=True, ge=1, le=2)] = 1

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if self.reach is None and self.ends not in {None, "none"}:
            raise AtError("reach", 'is missing: the bore\'s centre to the nearest free edge, for instance "150 mm"')
        if self.ends is None and (self.reach is not None or self.neck is not None):
            raise AtError("ends", 'is missing: write "side", "corner", "strip", "lug" or "round"')
        if self.ends == "none" and self.reach is not None:
            raise AtError("reach", '"none" says that no edge is near; leave reach out, or say which edges there are')
        if self.neck is not None:
            self._necked(self.neck)
        return self

    def _necked(self, neck: float) -> None:
        """Raise `AtError` where a neck is no lug's, or wider than its lug."""
        if self.ends != "lug":
            raise AtError("neck", 'is the width of what a lug goes on with; write "ends": "lug", or leave it out')
        if self.reach is not None and neck > 2 * self.reach:
            raise AtError("neck", "is wider than the lug, twice its reach; leave it out where the lug grows wider")
