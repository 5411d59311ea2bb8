"""Colours, fonts and sizes by meaning, for day and night and for three densities of the screen."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from typing import Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

WORDS_FAMILY: Final = "DejaVu Sans Condensed"
FIGURES_FAMILY: Final = "DejaVu Sans"
FONT_FILES: Final = (
    "DejaVuSansCondensed.ttf",
    "DejaVuSansCondensed-Bold.ttf",
    "DejaVuSans.ttf",
    "DejaVuSans-Bold.ttf",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """One colour per meaning. No verdict has a colour; plum is here, yellow is danger to people."""

    name: str
    ink: str
    label: str
    here: str
    here_tint: str
    phases: tuple[str, str, str]
    border: str
    sheet: str
    ground: str
    danger: str
    danger_ink: str
    rule: str
    hairline: str
    band: str
    grid_strong: str
    grid_fine: str


DAY: Final = Palette(
    name="day", ink="#14181C", label="#363C42", here="#7A1F6A", here_tint="#F6E6F2",
    phases=("#123E80", "#8F3700", "#005F58"), border="#666D66", sheet="#FDFDFB", ground="#EAEBE6",
    danger="#FFDC3C", danger_ink="#14181C", rule="#14181C", hairline="#84887F", band="#F4F5F1",
    grid_strong="#8A8E85", grid_fine="#E0E2DC",
)  # fmt: skip
NIGHT: Final = Palette(
    name="night", ink="#E6E3D8", label="#C2C0B6", here="#F0A4E2", here_tint="#3B2338",
    phases=("#8CB6FF", "#FFA657", "#52D3BF"), border="#8B9296", sheet="#14181B", ground="#0B0E10",
    danger="#F2CB2E", danger_ink="#14181C", rule="#9AA0A0", hairline="#70787D", band="#191E21",
    grid_strong="#646C70", grid_fine="#262C30",
)  # fmt: skip
PALETTES: Final = {palette.name: palette for palette in (DAY, NIGHT)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Density:
    """Heights in logical pixels of what is read and touched."""

    name: str
    settled_row: int
    entry_row: int
    field: int
    set_cell: int
    main_button: int


DENSITIES: Final = {
    density.name: density
    for density in (
        Density(name="small", settled_row=26, entry_row=40, field=40, set_cell=36, main_button=60),
        Density(name="field", settled_row=30, entry_row=46, field=46, set_cell=44, main_button=72),
        Density(name="gloves", settled_row=44, entry_row=60, field=60, set_cell=56, main_button=88),
    )
}

# Sizes in pixels at 96 dpi by what the letters are for.
SIZES_PX: Final = {
    "key": 14,
    "label": 14,
    "status": 15,
    "axis": 15,
    "second": 15,
    "value": 17,
    "finding": 16,
    "body": 19,
    "reading": 19,
    "heading": 21,
    "entry": 21,
    "main": 21,
    "keyed": 23,
    "read_back": 40,
}


class Theme(QObject):
    """The palette and the density in force; `changed` asks every view to take its sizes again."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.palette = DAY
        self.density = DENSITIES["field"]
        self._colors: dict[tuple[str, str], QColor] = {}
        self._fonts: dict[tuple[str, bool], QFont] = {}

    def color(self, role: str) -> QColor:
        """The colour of a role of the palette, such as "ink"."""
        key = (self.palette.name, role)
        if key not in self._colors:
            self._colors[key] = QColor(getattr(self.palette, role))
        return self._colors[key]

    def font(self, role: str, bold: bool) -> QFont:
        """The font of a role; a copy, since who asks may strike it out."""
        key = (role, bold)
        if key not in self._fonts:
            made = QFont(FIGURES_FAMILY if role == "read_back" else WORDS_FAMILY)
            made.setPixelSize(SIZES_PX[role])
            made.setBold(bold)
            self._fonts[key] = made
        return QFont(self._fonts[key])

    def phase_color(self, index: int) -> QColor:
        """The colour of the first, second or third phase; a neutral takes ink."""
        phases = self.palette.phases
        return QColor(phases[index]) if 0 <= index < len(phases) else self.color("ink")


_theme: Theme | None = None


def current() -> Theme:
    """The theme in force."""
    global _theme
    if _theme is None:
        _theme = Theme()
    return _theme


def color(role: str) -> QColor:
    """The colour of a role in the theme in force."""
    return current().color(role)


def density() -> Density:
    """The density in force."""
    return current().density


def font(role: str, *, bold: bool = False) -> QFont:
    """The font of a role: condensed for words and tables, the wider cut for what is read back."""
    return current().font(role, bold)


def load_fonts() -> tuple[str, ...]:
    """Register the program's own fonts; the files that could not be loaded come back."""
    folder = files("resources") / "fonts"
    return tuple(
        name
        for name in FONT_FILES
        if QFontDatabase.addApplicationFontFromData((folder / name).read_bytes()) < 0
    )


def desktop_is_dark() -> bool:
    """Whether the desktop asks for dark windows now."""
    return QApplication.styleHints().colorScheme() is Qt.ColorScheme.Dark


def resolve(name: str) -> Palette:
    """The palette of a preference: "day", "night", or "system" by the desktop's own brightness."""
    if name == "system":
        return NIGHT if desktop_is_dark() else DAY
    return PALETTES.get(name, DAY)


def apply(app: QApplication, palette: str = "day", density: str = "field") -> None:
    """Dress the application: style, palette, style sheet and base font."""
    theme = current()
    theme.palette = resolve(palette)
    theme.density = DENSITIES.get(density, DENSITIES["field"])
    # Qt: a style or a style sheet set again polishes every widget again, a second for all pages (6.11).
    if not app.styleSheet():
        app.setStyle("Fusion")
    app.setFont(font("value"))
    app.setPalette(qt_palette(theme.palette))
    if app.styleSheet() != (sheet := style_sheet(theme.palette)):
        app.setStyleSheet(sheet)
    app.setCursorFlashTime(0)
    theme.changed.emit()


def qt_palette(palette: Palette) -> QPalette:
    """The palette for Qt's own widgets; every foreground comes with its background."""
    role = QPalette.ColorRole
    made = QPalette()
    pairs = {
        role.Window: palette.ground, role.WindowText: palette.ink, role.Base: palette.sheet,
        role.AlternateBase: palette.band, role.Text: palette.ink, role.Button: palette.sheet,
        role.ButtonText: palette.ink, role.BrightText: palette.ink, role.ToolTipBase: palette.sheet,
        role.ToolTipText: palette.ink, role.PlaceholderText: palette.label, role.Highlight: palette.here_tint,
        role.HighlightedText: palette.ink, role.Link: palette.ink, role.Light: palette.sheet,
        role.Midlight: palette.band, role.Mid: palette.border, role.Dark: palette.border,
        role.Shadow: palette.ink,
    }  # fmt: skip
    for key, value in pairs.items():
        made.setColor(key, QColor(value))
    return made


def style_sheet(palette: Palette) -> str:
    """Rules for Qt's own widgets: square corners, black rules, a plum frame of 3 px for the focus."""
    p = palette
    return f"""
    QDialog {{ background: {p.sheet}; }}
    QLineEdit[frame="true"], QPlainTextEdit, QComboBox {{ background: {p.sheet}; color: {p.ink};
        border: 1px solid {p.border}; border-radius: 0; padding: 2px 6px; placeholder-text-color: {p.label};
        selection-background-color: {p.here_tint}; selection-color: {p.ink}; }}
    QLineEdit[frame="true"]:focus, QPlainTextEdit:focus, QComboBox:focus {{
        border: 3px solid {p.here}; padding: 0 4px; }}
    QLineEdit[frame="false"] {{ background: transparent; color: {p.ink}; border: 0; padding: 0;
        placeholder-text-color: {p.ink};
        selection-background-color: {p.here_tint}; selection-color: {p.ink}; }}
    QPushButton {{ background: {p.sheet}; color: {p.ink}; border: 2px solid {p.rule}; border-radius: 0;
        padding: 6px 14px; min-height: 30px; }}
    QPushButton:focus {{ border: 3px solid {p.here}; background: {p.here_tint}; }}
    QPushButton:disabled {{ border: 1px dashed {p.border}; }}
    QScrollBar:vertical {{ background: {p.ground}; width: 14px; margin: 0; border: 0; }}
    QScrollBar::handle:vertical {{ background: {p.border}; min-height: 36px; margin: 2px 3px; }}
    QScrollBar:horizontal {{ background: {p.ground}; height: 14px; margin: 0; border: 0; }}
    QScrollBar::handle:horizontal {{ background: {p.border}; min-width: 36px; margin: 3px 2px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; width: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
    QToolTip {{ background: {p.sheet}; color: {p.ink}; border: 1px solid {p.border}; }}
    """
