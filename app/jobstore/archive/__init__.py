"""The office's archive: the signed bytes as they came, and what is searched, on SQLite or PostgreSQL."""

from app.jobstore.archive.answers import Answer, Deposit, FiledLine, Filing
from app.jobstore.archive.archive import Archive
from app.jobstore.archive.engine import ArchiveProblem
from app.jobstore.archive.figures import DueInstrument, FaultCount, OpenDeviation
from app.jobstore.archive.history import KeptCurve, KeptValue, Swap
from app.jobstore.archive.keeping import RETENTIONS, Hold, Kept, Tombstone
from app.jobstore.archive.roles import Rights
from app.jobstore.archive.searching import Asked, CoreHit, Hit, Page

__all__ = [
    "RETENTIONS",
    "Answer",
    "Archive",
    "ArchiveProblem",
    "Asked",
    "CoreHit",
    "Deposit",
    "DueInstrument",
    "FaultCount",
    "FiledLine",
    "Filing",
    "Hit",
    "Hold",
    "Kept",
    "KeptCurve",
    "KeptValue",
    "OpenDeviation",
    "Page",
    "Rights",
    "Swap",
    "Tombstone",
]
