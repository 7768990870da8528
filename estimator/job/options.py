"""What the user pins of a bore's plan: single choices, or all of it layer by layer."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, Strict, ValidationInfo, field_validator, model_validator

from estimator.errors import AtError, nearest
from estimator.fields import Current, Document, Length, Name

__all__ = ["Aim", "Ends", "HandLayer", "Options", "Turning", "near"]

MOST_LAYERS = 50


def near(name: str, known: Any) -> str:  # noqa: ANN401  # any mapping
    """Return the names nearest to one that is not known, in words."""
    return ", ".join(nearest(name, known) or sorted(known)[:8])


Aim = Literal["cost", "hours", "heat"]
Turning = Literal["clockwise", "counter-clockwise"]
Ends = Literal["run over", "past the faces", "run-off rings"]


class HandLayer(Document):
    """One layer of a plan by hand, as it is laid; without `rotation` it turns against the layer before.

    `dwell`: whether the arc goes round one whole turn more without a step at both of the layer's ends.
    """

    current: Current
    step: Length
    thickness: Length
    rotation: Turning | None = None
    dwell: Annotated[bool, Strict()] = False


class Options(Document):
    """What the user pins; the planner keeps it or refuses with the reason."""

    wire: Name | None = None
    gas: Name | None = None
    current: Current | None = None
    step: Length | None = None
    layers: Annotated[int, Field(strict=True, ge=1, le=MOST_LAYERS)] | None = None
    rotation: Literal["alternating", "one way"] | None = None
    slag: Literal["each layer", "at the end"] = "each layer"
    aim: Aim = "cost"
    ends: Ends | None = None
    by_hand: Annotated[tuple[HandLayer, ...], Field(min_length=1, max_length=MOST_LAYERS)] = ()

    @field_validator("wire", "gas")
    @classmethod
    def _known(cls, name: str | None, info: ValidationInfo) -> str | None:
        known = (info.context or {}).get(f"{info.field_name}s")
        if name is not None and known is not None and name not in known:
            raise ValueError(f"no {info.field_name} named {name!r}; near: {near(name, known)}")
        return name

    @model_validator(mode="after")
    def _said_once(self) -> Self:
        turned = ("rotation",) if any(layer.rotation for layer in self.by_hand) else ()
        for name in ("current", "step", "layers", *turned) if self.by_hand else ():
            if getattr(self, name) is not None:
                raise AtError(name, "by_hand says it layer by layer; keep one of them")
        return self
