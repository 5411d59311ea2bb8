"""Everything in the archive checked again: bytes, signatures, receipts, the tree over all, and the search."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from app import progress
from app.record import arrival, receipt
from app.record.canonical import digest
from app.record.merkle import Tree
from app.record.problem import Altered, CannotTell

if TYPE_CHECKING:
    from app.jobstore.archive import Archive
    from app.record.receipt import Receipt
    from app.record.trust import Trust

Progress = Callable[[int, int], None]
Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedThrough:
    """What was found; a sentence for everything that is not as it was filed."""

    record_count: int
    deleted_count: int
    faults: tuple[str, ...]
    stopped: bool = False

    @property
    def text(self) -> str:
        """The whole in one sentence."""
        gone = f" and {self.deleted_count} deleted by name" if self.deleted_count else ""
        if self.stopped:
            return f"Stopped after {self.record_count} records{gone}; {len(self.faults)} faults so far."
        if self.faults:
            return f"{len(self.faults)} faults in {self.record_count} records{gone}."
        return f"Whole: {self.record_count} records{gone} are as they were filed, and so is their order."


def look_through(
    archive: Archive,
    trust: Trust,
    *,
    pages: bool = True,
    tell: Progress | None = None,
    stop: Stop | None = None,
) -> LookedThrough:
    """Check every record, its receipt and its place; `pages` also the signatures inside the sheets."""
    faults: list[str] = []
    tree, gone, done, of = Tree(), 0, 0, archive.size()
    roots: dict[int, str] = {}
    held: dict[int, str] = {}
    deleted = {one.record_digest: one for one in archive.tombstones()}
    for given, signature, data in archive.each_packed():
        if stop is not None and stop():
            return LookedThrough(record_count=done, deleted_count=gone, faults=tuple(faults), stopped=True)
        if given.leaf_no != tree.size:
            faults.append(
                f"Place {tree.size + 1} of the archive is empty: a record or its receipt is missing."
            )
            return LookedThrough(record_count=done, deleted_count=gone, faults=tuple(faults))
        tree = tree.grown(bytes.fromhex(given.record_digest))
        roots[tree.size] = tree.root
        found = _faults_of_receipt(given, signature, tree, trust)
        if data is not None:
            held[given.leaf_no] = given.record_digest
            found += _faults_of(given, data, trust, pages=pages)
        elif given.record_digest in deleted:
            gone += 1
        else:
            found.append("the record is gone, and nobody deleted it.")
        faults += [f"Place {given.leaf_no + 1}: {one}" for one in found]
        done += 1
        if tell is not None:
            tell(done, of)
    faults += _faults_of_tree(archive, tree, roots)
    faults += _faults_of_search(archive.searched(), held)
    return LookedThrough(record_count=done, deleted_count=gone, faults=tuple(faults))


def look_through_at(place_text: str, trust_folder: Path, *, tell: Progress | None = None) -> LookedThrough:
    """Check everything in the archive at a place; as a work in hand, stopped, it says what it saw so far.

    ArchiveProblem where there is none, or it does not answer.
    """
    from app.jobstore.archive import Archive
    from app.jobstore.archive.engine import demand_there, url_of
    from app.record.trust import trust_in

    work = progress.in_hand()
    demand_there(url_of(place_text))
    archive = Archive.open(place_text, read_only=True)
    try:
        if work is None:
            return look_through(archive, trust_in(trust_folder), tell=tell)
        watched = work
        return look_through(
            archive,
            trust_in(trust_folder),
            tell=lambda done, count: watched.told(done, count, "record"),
            stop=lambda: watched.stopped,
        )
    finally:
        archive.close()


def _faults_of_receipt(given: Receipt, signature: bytes, tree: Tree, trust: Trust) -> list[str]:
    try:
        receipt.read(receipt.spelled(given), signature, trust=trust)
    except (Altered, CannotTell) as problem:
        return [problem.sentence]
    if (given.tree_size, given.root) != (tree.size, tree.root):
        return ["its receipt names another root than the records before it make."]
    return []


def _faults_of(given: Receipt, data: bytes, trust: Trust, *, pages: bool) -> list[str]:
    if digest(data) != given.deposit_digest:
        return ["the file is not the one that came."]
    try:
        arrived = arrival.read_pack(data, trust, pages=pages)
    except (Altered, CannotTell) as problem:
        return [problem.sentence]
    if arrived.record_digest != given.record_digest:
        return ["the file holds another record than its receipt names."]
    return []


def _faults_of_tree(archive: Archive, tree: Tree, roots: dict[int, str]) -> list[str]:
    found = []
    if archive.tree() != tree:
        found.append("The tree that the archive keeps is not the one that its records make.")
    for day, size, root in archive.day_roots():
        if roots.get(size) != root:
            found.append(f"The root written down for {day} is not the one that the records until then make.")
    return found


def _faults_of_search(searched: dict[int, str], held: dict[int, str]) -> list[str]:
    return [
        f"Place {leaf_no + 1}: the search does not name the record that lies there; make the search anew."
        for leaf_no in sorted(searched.keys() | held.keys())
        if searched.get(leaf_no) != held.get(leaf_no)
    ]
