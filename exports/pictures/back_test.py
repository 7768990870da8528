"""The picture of a back-test: each job's hours over what was estimated, by the book and as learnt, and the band."""

from estimator.learn.make import Calibrated
from exports.pictures.paper import MARGIN, WIDTH, head, ticks
from exports.pictures.svg import HAIR, INK, PAPER, SOFT, Drawing

__all__ = ["back_test"]

HIGH, LEFT, DOT = 60.0, 12.0, 0.9  # height of the field, room for its scale, radius of a job [mm]
LEAST = 0.05  # room above and below what is drawn


def back_test(found: Calibrated) -> str:
    """Return the drawing of a back-test: open dots by the book, full ones as learnt, bars for the 80 % band."""
    test = found["back_test"]
    course = test["course"]
    about = "open: hours over the book's estimate; full: over the estimate with what was learnt; bar: 80 % band"
    told = f"{len(course)} jobs in the order of time; {about}; {test['claim']}"
    drawing = Drawing(WIDTH, "Back-test of the calibration", told)
    top = head(drawing, "BACK-TEST", told) + 2
    if not course:
        drawing.text(MARGIN, top + 6, "Too few jobs: nothing was judged.", 3.0)
        return drawing.finish(top + 12)
    values = [one[name] for one in course for name in ("before", "after", "low", "high")]
    low, high = min(*values, 1.0) - LEAST, max(*values, 1.0) + LEAST

    def y(value: float) -> float:
        return top + HIGH * (high - value) / (high - low)

    wide = WIDTH - 2 * MARGIN - LEFT
    drawing.group("scale")
    for mark in ticks(low, high, 6):
        drawing.line(MARGIN + LEFT, y(mark), WIDTH - MARGIN, y(mark), stroke=HAIR)
        drawing.text(MARGIN + LEFT - 1.5, y(mark) + 0.9, f"{mark:g}", 2.5, fill=SOFT, text_anchor="end")
    drawing.line(MARGIN + LEFT, y(1.0), WIDTH - MARGIN, y(1.0), stroke_width=0.4)
    drawing.group("jobs")
    for place, one in enumerate(course):
        x = MARGIN + LEFT + wide * (place + 0.5) / len(course)
        drawing.line(x, y(one["low"]), x, y(one["high"]), stroke=SOFT, stroke_width=0.5)
        drawing.circle(x, y(one["before"]), DOT, fill=PAPER, stroke=INK, stroke_width=0.25)
        drawing.circle(x, y(one["after"]), DOT, fill=INK)
    return drawing.finish(top + HIGH + 6)
