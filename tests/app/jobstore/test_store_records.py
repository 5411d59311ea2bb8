from __future__ import annotations

from collections.abc import Callable

import pytest

from app.jobstore import Store, StoreProblem
from app.record.act import Act
from app.record.canonical import digest
from ctcore.findings import Finding

MakeAct = Callable[..., Act]


FINDINGS = (
    Finding("a.c1", "r_winding_75degc_ohm", 3.0, 2.0, -1.0, "outside", "plate", "resistance.limit", take=2),
    Finding("a.c1", "polarity", "agrees", "agrees", None, "within", "IEC 61869-2", "ratio.polarity"),
)


def test_findings_come_back_with_their_digest_and_rules(filled: Store) -> None:
    filled.save_findings("j1", "a.c1", FINDINGS, input_digest="ab", rules_version="7")
    stored = filled.findings("j1")["a.c1"]
    assert (stored.findings, stored.input_digest, stored.rules_version) == (FINDINGS, "ab", "7")
    assert isinstance(stored.findings[0].value, float)
    assert filled.jobs()[0].worst == "outside"


def test_new_findings_replace_those_of_the_core_alone(filled: Store) -> None:
    filled.save_findings("j1", "a.c1", FINDINGS, input_digest="ab", rules_version="7")
    filled.save_findings("j1", "a.c2", FINDINGS[1:], input_digest="cd", rules_version="7")
    filled.save_findings("j1", "a.c1", (), input_digest="ef", rules_version="8")
    stored = filled.findings("j1")
    assert (stored["a.c1"].findings, stored["a.c2"].findings) == ((), FINDINGS[1:])


def test_a_frozen_record_comes_back_byte_for_byte(filled: Store, act: MakeAct) -> None:
    receipt = filled.freeze("j1", b'{"a":1}', act("frozen"), revision=1, state="approved")
    (stored,) = filled.revisions("j1")
    assert (stored.revision, stored.record_bytes, stored.digest) == (1, b'{"a":1}', digest(b'{"a":1}'))
    assert stored.frozen_at_utc == "2031-05-04T08:42:07.120Z"
    assert receipt.event.content["record"] == {"revision": 1, "digest": stored.digest}
    assert filled.load("j1").state == "approved"


def test_a_revision_is_frozen_once(filled: Store, act: MakeAct) -> None:
    filled.freeze("j1", b"{}", act(), revision=1, state="approved")
    with pytest.raises(StoreProblem, match="contradicts what is stored"):
        filled.freeze("j1", b"[]", act(), revision=1, state="approved")


def test_a_photograph_is_kept_beside_the_store_and_pinned_to_its_step(filled: Store, act: MakeAct) -> None:
    attachment = filled.add_attachment(
        "j1", b"\x89PNG", name_text="plate.png", media_type="image/png", core_id="a.c1",
        procedure_id="resistance", act=act("attached"),
    )  # fmt: skip
    assert filled.attachments("j1") == [attachment]
    assert filled.attachment_bytes(attachment) == b"\x89PNG"
    assert filled.events()[-1].content["attachment"]["digest"] == digest(b"\x89PNG")
    assert (attachment.core_id, attachment.procedure_id, attachment.size_bytes_count) == (
        "a.c1",
        "resistance",
        4,
    )


def test_a_file_that_cannot_be_attached_leaves_no_event(
    filled: Store, act: MakeAct, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.jobstore.attachments.write_whole", refuse)
    with pytest.raises(StoreProblem, match=r"plate\.png was not attached.*Permission denied"):
        filled.add_attachment(
            "j1",
            b"x",
            name_text="plate.png",
            media_type="image/png",
            core_id="",
            procedure_id="",
            act=act(),
        )
    assert (filled.attachments("j1"), len(filled.events())) == ([], 1)


def refuse(*_: object) -> None:
    raise PermissionError(13, "Permission denied")
