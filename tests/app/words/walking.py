"""Go through every page and dialog in the language of the test: `python -m tests.app.words.walking OUT`.

Writes every text with a word that neither the tables nor the record told, and where it was seen first.
"""

from __future__ import annotations

import json
import re
import sys
import tempfile
from pathlib import Path
from typing import Final

from app.words import speak
from app.words.tables import PSEUDO
from ctcore.findings import VERDICTS
from tests.app.words.collecting import painted, shown
from tests.app.words.leftover import kept_words, left_over
from tests.pictures.window import SCENES, Stage, opened_stage

# Files, folders and digests are no words of a language.
_FILE_NAME: Final = re.compile(r"\S*\w\.(?:json|sqlite|png|pdf|csv|xlsx)\b|/\S+|[0-9a-f]{4}(?: [0-9a-f]{4})+")


def main() -> int:
    """Walk, and write what was found."""
    speak(PSEUDO)
    with (
        tempfile.TemporaryDirectory() as folder,
        painted() as ink,
        opened_stage(Path(folder), "day", 1366, 768) as stage,
    ):
        stage.out = Path(folder)
        found = _walk(stage, ink)
    Path(sys.argv[1]).write_text(json.dumps(found, ensure_ascii=False), encoding="utf-8")
    return 0


def _walk(stage: Stage, ink: list[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    kept: frozenset[str] | set[str] = frozenset()
    last = None
    for name, scene in SCENES.items():
        ink.clear()
        scene(stage)
        stage.rest()
        if (job := stage.window.session.view.job) is not last:
            kept, last = kept | kept_words(job), job
        texts = set(shown())
        stage.shoot(name)
        for one in texts | set(ink):
            if one in VERDICTS or left_over(_FILE_NAME.sub("", one), kept):
                found.setdefault(one, name)
    return found


if __name__ == "__main__":
    sys.exit(main())
