"""The office's archive: the signed bytes as they came, and what is searched, on SQLite or PostgreSQL."""

from app.jobstore.archive.answers import Answer, Deposit, FiledLine, Filing
from app.jobstore.archive.archive import Archive
from app.jobstore.archive.engine import ArchiveProblem

__all__ = ["Answer", "Archive", "ArchiveProblem", "Deposit", "FiledLine", "Filing"]
