"""The archive's receipt for one signed record: that it was filed, where in the order, and when it arrived.

Format: canonical JSON {"format": "coreleaf-receipt", "version": 1, ...}, signed by the archive's key. The
root and the size of the tree stand in it, so that a later root can be held against every receipt given.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from dataclasses import dataclass
from typing import Final

from app.record import cms
from app.record.canonical import canonical, parse, parse_canonical
from app.record.cms import Signature
from app.record.instants import instant_of
from app.record.people_keys import Unlocked
from app.record.problem import Altered, CannotTell
from app.record.trust import Trust
from ctcore.errors import BadInput

FORMAT: Final = "coreleaf-receipt"
VERSION: Final = 1
THE_RECEIPT: Final = "the receipt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What the archive states about a record. `leaf_no` counts from 0; `root` is that after it was filed."""

    archive_id: str
    record_digest: str
    deposit_digest: str
    leaf_no: int
    tree_size: int
    root: str
    arrived_at_utc: str


def sign(receipt: Receipt, key: Unlocked, *, at: dt.datetime) -> tuple[bytes, bytes]:
    """The canonical bytes of the receipt, and the archive's signature over them."""
    data = spelled(receipt)
    return data, cms.sign(data, key, meaning="archived", at=at)


def spelled(receipt: Receipt) -> bytes:
    """The canonical bytes of the receipt."""
    return canonical({"format": FORMAT, "version": VERSION, **dataclasses.asdict(receipt)})


def read(data: bytes, signature: bytes, *, trust: Trust) -> tuple[Receipt, Signature]:
    """The receipt and who signed it.

    Altered where the bytes do not fit, CannotTell where nobody known here vouches for the archive's key or
    the receipt was made by a newer program.
    """
    checked = cms.check(data, signature, what=THE_RECEIPT)
    if checked.meaning != "archived" or checked.at is None:
        raise Altered(f'The signature of the receipt says "{checked.meaning}" where "archived" belongs.')
    trust.standing(checked.certificate, meaning="archived", at=checked.at)
    return from_bytes(data), checked


def from_bytes(data: bytes) -> Receipt:
    """The receipt of canonical bytes, whoever signed it."""
    try:
        structure = parse(data, where="receipt")
        if isinstance(structure, dict) and structure.get("version") not in (None, VERSION):
            raise CannotTell("The receipt was made by a newer Coreleaf.")
        named = dict(parse_canonical(data, where="receipt"))
        if named.pop("format") != FORMAT or named.pop("version") != VERSION:
            raise BadInput("receipt", "format", "is another")
        receipt = Receipt(**named)
        _demand_sound(receipt)
    except (BadInput, KeyError, TypeError, ValueError) as problem:
        raise Altered("The receipt is not in the form that this program writes.") from problem
    return receipt


def _demand_sound(receipt: Receipt) -> None:
    for field in dataclasses.fields(Receipt):
        value = getattr(receipt, field.name)
        if type(value) is not (int if field.name in ("leaf_no", "tree_size") else str):
            raise BadInput("receipt", value, "is of another kind")
    if not 0 <= receipt.leaf_no < receipt.tree_size:
        raise BadInput("receipt", receipt.leaf_no, "is no place in the tree")
    for digest_hex in (receipt.record_digest, receipt.deposit_digest, receipt.root):
        if len(bytes.fromhex(digest_hex)) != 32:
            raise BadInput("receipt", digest_hex, "is no digest")
    instant_of(receipt.arrived_at_utc)
