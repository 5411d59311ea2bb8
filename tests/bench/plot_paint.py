"""One curve of twelve of 60 points changes: the excitation plot is shown the content and painted again.

The reference is the same twelve curves in a plain plot of pyqtgraph in the same run: one item for each curve,
made once, with symbols, equal decades and set ranges, but without rules, legend, knee table and enlarged
knee, all of which the excitation plot has. Both count the processor's time, since a busy machine stretches
the clock; they take turns, so that neither gets the quieter half of the run.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any, Final

import numpy as np

NAMES: Final = ("plot_paint_12x60",)
WIDE_PX, TALL_PX = 640, 380
CURVES_COUNT, POINTS_COUNT = 12, 60
_WARM_UP = 10


def run(short: bool = False) -> list[dict[str, Any]]:
    """Median milliseconds of the processor from another content to painted, and of the plain plot."""
    from PySide6.QtWidgets import QApplication

    from app.ui import theme

    application = QApplication.instance() or QApplication([])
    assert isinstance(application, QApplication)
    theme.load_fonts()
    theme.apply(application)
    runs = 60 if short else 400
    own, own_change = _own(CURVES_COUNT, POINTS_COUNT)
    plain, plain_change = _plain(CURVES_COUNT, POINTS_COUNT)
    taken: tuple[list[float], list[float]] = ([], [])
    for number in range(-_WARM_UP, runs):
        for times, change in zip(taken, (own_change, plain_change), strict=True):
            times.append(_painted(application, change, number))
    for widget in (own, plain):
        widget.hide()
        widget.deleteLater()
    application.processEvents()
    value, reference = (statistics.median(times[_WARM_UP:]) for times in taken)
    return [
        {
            "name": NAMES[0],
            "value": value,
            "unit": "ms",
            "reference": reference,
            "ratio": value / reference,
            "runs": runs,
        }
    ]


def _painted(application: Any, change: Callable[[int], None], number: int) -> float:
    """Milliseconds of the processor until nothing is left to paint."""
    started = time.process_time()
    change(number)
    for _ in range(3):
        application.processEvents()
    return (time.process_time() - started) * 1e3


def _volts(points_count: int) -> list[float]:
    return [320.0 * row / points_count for row in range(1, points_count + 1)]


def _amperes(volts: list[float], share: float) -> list[float]:
    return [1e-3 * share * (3.4 * (v / 20.0) ** 0.78 + 12.0 * (v / 270.0) ** 20) for v in volts]


def _corrected(volts: list[float], number: int) -> list[float]:
    """The curve in hand with one current corrected, another one each time."""
    amperes = _amperes(volts, 1.0)
    amperes[2 + number % (len(volts) - 4)] *= 1.001 + 1e-5 * (number % 97)
    return amperes


def _own(curves_count: int, points_count: int) -> tuple[Any, Callable[[int], None]]:
    from app.ui.plots.content import CurveLine, KneeMark, Pairs, PlotContent
    from app.ui.plots.excitation import ExcitationPlot

    volts = _volts(points_count)

    def line(index: int, kind: Any, amperes: list[float]) -> CurveLine:
        pairs = Pairs(tuple(volts), tuple(amperes))
        knees = (KneeMark("iec", 272.0, 0.046, 2.0),) if kind in ("hand", "sister") else ()
        return CurveLine(
            key=f"{kind}{index}", kind=kind, words=f"{kind} {index}", phase_text=f"L{index + 1}",
            phase_index=index if index < 3 else -1, points=pairs, line=pairs, knees=knees,
        )  # fmt: skip

    kinds = ["sister", "sister", *("certificate" if index % 2 else "previous" for index in range(9))]
    settled = tuple(
        line(index + 1, kind, _amperes(volts, 0.95 + 0.012 * index))
        for index, kind in enumerate(kinds[: curves_count - 1])
    )
    plot = ExcitationPlot()
    plot.resize(WIDE_PX, TALL_PX)
    plot.show()

    def change(number: int) -> None:
        plot.show_content(PlotContent(curves=(*settled, line(0, "hand", _corrected(volts, number)))))

    return plot, change


def _plain(curves_count: int, points_count: int) -> tuple[Any, Callable[[int], None]]:
    import pyqtgraph as pg

    volts = _volts(points_count)
    level = np.log10(volts)
    plot = pg.PlotWidget()
    plot.setAntialiasing(True)
    plot.hideButtons()
    items = [
        plot.plot(np.log10(_amperes(volts, 0.95 + 0.012 * index)), level, pen=pg.mkPen(width=2), symbol="o")
        for index in range(curves_count)
    ]
    box = plot.getViewBox()
    box.disableAutoRange()
    box.setRange(xRange=(-3.5, 0.0), yRange=(0.5, 2.7), padding=0)
    plot.resize(WIDE_PX, TALL_PX)
    plot.show()

    def change(number: int) -> None:
        items[-1].setData(np.log10(_corrected(volts, number)), level)

    return plot, change
