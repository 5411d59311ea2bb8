"""The picture of the real window in README: `python tests/pictures/readme.py` makes it anew."""

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

ROOT = Path(__file__).resolve().parents[2]
TARGET = ROOT / "resources" / "pictures" / "window.png"
LARGEST_BYTES = 200_000


def few_colors(image: QImage) -> QImage:
    """The picture in its 256 most frequent colours, which halves the file."""
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QImage

    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    pixels = memoryview(plain.constBits()).cast("B").cast("I")
    table = [color for color, _ in Counter(pixels).most_common(256)]
    return plain.convertToFormat(QImage.Format.Format_Indexed8, table, Qt.ImageConversionFlag.AvoidDither)


def main() -> int:
    """Open the sample job at an excitation test and keep what the window shows, at 1366 x 768 by day."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    os.environ["QT_SCALE_FACTOR"] = "1"
    sys.path.insert(0, str(ROOT))
    from tests.pictures.window import opened_stage

    with tempfile.TemporaryDirectory() as folder, opened_stage(Path(folder), "day", 1366, 768) as stage:
        stage.window.go_to(stage.core(1), "excitation")
        stage.rest()
        caution = stage.window.page("worksheet").page.body.caution
        while caution.current is not None:
            caution.read.emit(caution.current.caution_id)
            stage.rest()
        TARGET.parent.mkdir(parents=True, exist_ok=True)
        few_colors(stage.window.grab().toImage()).save(str(TARGET), "PNG", 0)
    size = TARGET.stat().st_size
    sys.stdout.write(f"{TARGET.relative_to(ROOT)}: {size} bytes\n")
    return 0 if size < LARGEST_BYTES else 1


if __name__ == "__main__":
    sys.exit(main())
