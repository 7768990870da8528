"""What a works certificate says of a steel: its composition in percent by mass, and how warm it was tempered."""

from typing import Annotated

from pydantic import Field

from estimator.fields import Document, Tempering, Text

__all__ = ["Certificate"]

MOST = 60
Percent = Annotated[float, Field(strict=True, ge=0, le=MOST, allow_inf_nan=False)]


class Certificate(Document):
    """A certificate or analysis of the part's own steel: what it names beats the table of steels."""

    source: Text
    C: Percent
    Si: Percent | None = None
    Mn: Percent | None = None
    P: Percent | None = None
    S: Percent | None = None
    Cr: Percent | None = None
    Mo: Percent | None = None
    Ni: Percent | None = None
    Cu: Percent | None = None
    V: Percent | None = None
    Nb: Percent | None = None
    Ti: Percent | None = None
    Al: Percent | None = None
    B: Percent | None = None
    N: Percent | None = None
    W: Percent | None = None
    tempered_at: Tempering | None = None
