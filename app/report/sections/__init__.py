"""The sections of the sheet, one file each, listed once in the order of print."""

from __future__ import annotations

from typing import Final

from app.report.content import Section
from app.report.sections.attached import ATTACHED
from app.report.sections.basis import BASIS
from app.report.sections.boxes import BOXES
from app.report.sections.budgets import BUDGETS
from app.report.sections.cautions import CAUTIONS
from app.report.sections.comments import COMMENTS
from app.report.sections.contents import CONTENTS
from app.report.sections.contents_whole import CONTENTS_WHOLE
from app.report.sections.cores import CORES
from app.report.sections.decisions import DECISIONS
from app.report.sections.ending import ENDING
from app.report.sections.exceptions import EXCEPTIONS
from app.report.sections.instruments import INSTRUMENTS
from app.report.sections.kept import KEPT
from app.report.sections.noticed import NOTICED
from app.report.sections.opening import OPENING
from app.report.sections.particulars import PARTICULARS
from app.report.sections.people import PEOPLE
from app.report.sections.rejudged import REJUDGED
from app.report.sections.result import RESULT
from app.report.sections.signatures import SIGNATURES
from app.report.sections.whole_texts import WHOLE_TEXTS

SECTIONS: Final[tuple[Section, ...]] = (
    OPENING,
    RESULT,
    CONTENTS,
    SIGNATURES,
    EXCEPTIONS,
    NOTICED,
    REJUDGED,
    DECISIONS,
    COMMENTS,
    BASIS,
    PARTICULARS,
    CAUTIONS,
    CONTENTS_WHOLE,
    BOXES,
    CORES,
    KEPT,
    BUDGETS,
    ATTACHED,
    INSTRUMENTS,
    PEOPLE,
    WHOLE_TEXTS,
    ENDING,
)
