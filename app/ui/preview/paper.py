"""One page of the sheet as paper: fitted or enlarged, scrolled, with what was found marked on it."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractScrollArea, QWidget

from app.report.page_pictures import Box, Hit
from app.ui import theme
from app.ui.preview.back import PagesBehind
from app.ui.texts import text

FIT_PAGE: Final = "page"
FIT_WIDTH: Final = "width"
# Sizes of the paper in percent; at 100 it is as large as in the hand on a screen of 96 dots to the inch.
STEPS_PERCENT: Final = (25, 33, 50, 67, 75, 90, 100, 125, 150, 200, 300, 400)
SCREEN_DPI: Final = 96.0
# On a wide screen a page as wide as its place would be larger than anybody reads it.
MOST_FITTED_PERCENT: Final = 150.0
_POINTS: Final = 72.0
_MARGIN: Final = 12
_LINE: Final = 60


class Paper(QAbstractScrollArea):
    """Shows a page; keys turn and enlarge it. Paper is white by day and by night."""

    turned = Signal(int)
    resized_paper = Signal()

    def __init__(self, behind: PagesBehind, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.behind = behind
        self.page = 0
        self.fit = FIT_WIDTH
        self.percent = 100.0
        self.hits: tuple[Hit, ...] = ()
        self.hit_in_hand = -1
        self.waiting_text = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleDescription(text("preview.keys"))
        self.setFrameShape(QAbstractScrollArea.Shape.NoFrame)
        self.dress()
        theme.current().changed.connect(self.dress)
        behind.drawn.connect(self._drawn)

    def dress(self) -> None:
        """The ground around the paper is that of the theme."""
        self.setStyleSheet(
            f"QAbstractScrollArea {{ background: {theme.current().palette.ground}; border: 0; }}"
        )
        self.viewport().update()

    # What is shown

    def show_page(self, page: int, *, at_end: bool = False) -> None:
        """Turn to a page, at its head or at its foot."""
        count = self.behind.page_count
        if not count:
            return
        page = min(max(page, 0), count - 1)
        changed, self.page = page != self.page, page
        self._measure()
        self.verticalScrollBar().setValue(self.verticalScrollBar().maximum() if at_end else 0)
        self._tell_listener()
        self.viewport().update()
        if changed:
            self.turned.emit(page)

    def show_fitted(self, fit: str) -> None:
        """The whole page, or its whole width."""
        self.fit = fit
        self._measure()
        self.viewport().update()
        self.resized_paper.emit()

    def enlarge(self, step: int) -> None:
        """One step larger or smaller; the middle of what is seen stays in the middle."""
        now = self.percent
        wanted = [one for one in STEPS_PERCENT if (one > now + 0.5 if step > 0 else one < now - 0.5)]
        if wanted:
            self.show_percent(wanted[0] if step > 0 else wanted[-1])

    def show_percent(self, percent: float) -> None:
        """The paper at a size."""
        bars = (self.horizontalScrollBar(), self.verticalScrollBar())
        middles = [
            (bar.value() + bar.pageStep() / 2) / max(1, bar.maximum() + bar.pageStep()) for bar in bars
        ]
        self.fit, self.percent = "", percent
        self._measure()
        for bar, middle in zip(bars, middles, strict=True):
            bar.setValue(round(middle * (bar.maximum() + bar.pageStep()) - bar.pageStep() / 2))
        self.viewport().update()
        self.resized_paper.emit()

    def show_hits(self, hits: tuple[Hit, ...], in_hand: int) -> None:
        """Mark what was found, and go to the one in hand."""
        self.hits, self.hit_in_hand = hits, in_hand
        if 0 <= in_hand < len(hits):
            hit = hits[in_hand]
            if hit.page != self.page:
                self.show_page(hit.page)
            if hit.boxes:
                self._bring_into_view(hit.boxes[0])
        self.viewport().update()

    # Sizes

    def paper_size(self) -> QSizeF:
        """The page as drawn, in logical pixels."""
        wide, high = self.behind.file.size_pt(self.page) if self.behind.file else (595.0, 842.0)
        factor = SCREEN_DPI / _POINTS * self.percent / 100.0
        return QSizeF(wide * factor, high * factor)

    def _measure(self) -> None:
        room = self.maximumViewportSize()
        if self.fit and self.behind.file is not None:
            wide, high = self.behind.file.size_pt(self.page)
            scrollbar = self.verticalScrollBar().sizeHint().width() if self.fit == FIT_WIDTH else 0
            factor = (room.width() - 2 * _MARGIN - scrollbar) / wide
            if self.fit == FIT_PAGE:
                factor = min(factor, (room.height() - 2 * _MARGIN) / high)
            self.percent = min(max(5.0, factor * _POINTS / SCREEN_DPI * 100.0), MOST_FITTED_PERCENT)
        shown, view = self.paper_size(), self.viewport().size()
        # What is fitted to a side has nothing to scroll there, whatever half a pixel says.
        across = 0.0 if self.fit else shown.width() + 2 * _MARGIN - view.width()
        down = 0.0 if self.fit == FIT_PAGE else shown.height() + 2 * _MARGIN - view.height()
        for scroll, over, seen in (
            (self.horizontalScrollBar(), across, view.width()),
            (self.verticalScrollBar(), down, view.height()),
        ):
            scroll.setRange(0, max(0, round(over)))
            scroll.setPageStep(seen)
            scroll.setSingleStep(_LINE)

    def _place(self) -> QRectF:
        """Where the paper lies on the viewport."""
        shown, view = self.paper_size(), self.viewport().size()
        left = max(float(_MARGIN), (view.width() - shown.width()) / 2) - self.horizontalScrollBar().value()
        top = max(float(_MARGIN), (view.height() - shown.height()) / 2) - self.verticalScrollBar().value()
        # On whole pixels of the screen, so that letters stay as sharp as they were drawn.
        ratio = self.devicePixelRatioF()
        return QRectF(round(left * ratio) / ratio, round(top * ratio) / ratio, shown.width(), shown.height())

    def box_on_screen(self, box: Box) -> QRectF:
        """A place on the page as a place on the viewport."""
        factor, place = SCREEN_DPI / _POINTS * self.percent / 100.0, self._place()
        return QRectF(
            place.left() + box.left * factor,
            place.top() + box.top * factor,
            (box.right - box.left) * factor,
            (box.bottom - box.top) * factor,
        )

    def _bring_into_view(self, box: Box) -> None:
        shown, view = self.box_on_screen(box), QRectF(self.viewport().rect())
        if view.adjusted(_MARGIN, _MARGIN, -_MARGIN, -_MARGIN).contains(shown):
            return
        for bar, middle, seen in (
            (self.horizontalScrollBar(), shown.center().x(), view.width()),
            (self.verticalScrollBar(), shown.center().y(), view.height()),
        ):
            bar.setValue(bar.value() + round(middle - seen / 2))

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn, scroll, enlarge; everything else belongs to the page around."""
        key, last = event.key(), self.behind.page_count - 1
        if event.modifiers() & ~(Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier):
            event.ignore()
        elif key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp):
            self.show_page(self.page + (1 if key == Qt.Key.Key_PageDown else -1))
        elif key in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.show_page(0 if key == Qt.Key.Key_Home else last)
        elif key in (Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Space):
            far = self.viewport().height() - _LINE if key == Qt.Key.Key_Space else _LINE
            self._scroll_on(-far if key == Qt.Key.Key_Up else far)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            bar = self.horizontalScrollBar()
            bar.setValue(bar.value() + (_LINE if key == Qt.Key.Key_Right else -_LINE))
        else:
            event.ignore()

    def _scroll_on(self, far: int) -> None:
        """Scroll; at the foot of a page on to the head of the next."""
        bar = self.verticalScrollBar()
        before = bar.value()
        bar.setValue(before + far)
        if bar.value() != before:
            return
        if far > 0 and self.page < self.behind.page_count - 1:
            self.show_page(self.page + 1)
        elif far < 0 and self.page > 0:
            self.show_page(self.page - 1, at_end=True)

    # Painting

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground, paper, picture, marks, frame of the focus."""
        painter = QPainter(self.viewport())
        painter.fillRect(self.viewport().rect(), theme.color("ground"))
        if self.behind.file is None or self.waiting_text:
            painter.setPen(theme.color("ink"))
            painter.setFont(theme.font("body"))
            box = self.viewport().rect().adjusted(24, 24, -24, -24)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self.waiting_text)
        else:
            self._paint_paper(painter)
        if self.hasFocus():
            pen = QPen(theme.color("here"), 3)
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            painter.setPen(pen)
            painter.drawRect(QRectF(self.viewport().rect()).adjusted(1.5, 1.5, -1.5, -1.5))

    def _paint_paper(self, painter: QPainter) -> None:
        place, ratio = self._place(), self.devicePixelRatioF()
        painter.fillRect(place, QColor("white"))
        dpi = SCREEN_DPI * self.percent / 100.0 * ratio
        image = self.behind.picture(self.page, dpi)
        if image is not None and abs(image.width() - place.width() * ratio) < 2:
            image.setDevicePixelRatio(ratio)
            painter.drawImage(place.topLeft(), image)
        elif (image := image or self.behind.any_picture(self.page)) is not None:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(place, image, QRectF(QPointF(), QSizeF(image.size())))
        painter.setPen(QPen(theme.color("border"), 1))
        painter.drawRect(place)
        self._paint_hits(painter)

    def _paint_hits(self, painter: QPainter) -> None:
        # Paper is white by night too, so its marks have the colour that is seen on it by day.
        plum = QColor(theme.DAY.here)
        for number, hit in enumerate(self.hits):
            if hit.page != self.page:
                continue
            in_hand = number == self.hit_in_hand
            fill = QColor(plum)
            fill.setAlpha(60 if in_hand else 24)
            painter.setPen(QPen(plum, 3 if in_hand else 1))
            painter.setBrush(fill)
            grow = 3 if in_hand else 1
            for box in hit.boxes:
                painter.drawRect(self.box_on_screen(box).adjusted(-grow, -grow, grow, grow))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What was fitted is fitted again."""
        super().resizeEvent(event)
        self._measure()
        self.resized_paper.emit()

    def scrollContentsBy(self, _dx: int, _dy: int) -> None:
        """The whole picture is drawn at its new place."""
        self.viewport().update()

    def viewportSizeHint(self) -> QSize:
        """Room for a page that can be read."""
        return QSize(400, 500)

    def _drawn(self, page: int) -> None:
        if page == self.page:
            self.viewport().update()

    def _tell_listener(self) -> None:
        """What is shown, for who listens to the screen."""
        self.setAccessibleName(text("preview.paper", page=self.page + 1, all=self.behind.page_count))
