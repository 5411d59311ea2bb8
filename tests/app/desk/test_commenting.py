"""Comments with their states: asked by who decides, answered with a reading, closed or opened again."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from app.desk import Refusal
from app.desk.commenting import bound_line, comments_bound, line_of_comment, merged
from app.record.revision import from_bytes, to_bytes
from ctcore.job import CommentStep, Remark
from tests.app.desk import making
from tests.app.desk.making import PASSPHRASE, Seat


def only(seat: Seat, job_id: str) -> Remark:
    (found,) = seat.desk.view(job_id).job.remarks
    return found


def asked(approver: Seat, job_id: str, words: str = "Which terminals?") -> Remark:
    (line,) = approver.desk.exceptions(job_id)
    approver.desk.comment(job_id, line.key, words)
    return only(approver, job_id)


def ohms_reading(seat: Seat, job_id: str) -> str:
    readings = [one for one in seat.desk.view(job_id).job.readings if one.quantity_id == "r_measured_ohm"]
    return readings[-1].reading_id


def corrected(tester: Seat, job_id: str, sent_back: Path) -> Remark:
    """What was sent back is taken in, and its reading corrected."""
    tester.desk.take_in(sent_back)
    tester.desk.key(job_id, making.ohms_cell(tester.desk, job_id), "2.10")
    return only(tester, job_id)


def test_a_comment_by_who_decides_is_open_with_name_and_time(approver: Seat, waiting: str) -> None:
    comment = asked(approver, waiting)

    assert (comment.state, comment.person_id, comment.at_utc[:10]) == ("open", "m-oskarrin", "2031-05-04")


def test_a_comment_is_pinned_to_a_reading_of_its_test_only(approver: Seat, waiting: str) -> None:
    (line,) = approver.desk.exceptions(waiting)
    with pytest.raises(Refusal, match="does not belong to the line"):
        approver.desk.comment(waiting, line.key, "why?", "elsewhere")
    approver.desk.comment(waiting, line.key, "why?", ohms_reading(approver, waiting))

    assert only(approver, waiting).reading_id == ohms_reading(approver, waiting)


def test_a_line_that_is_within_takes_a_comment_too(tester: Seat, approver: Seat, tmp_path: Path) -> None:
    job_id = making.complete_job(tester.desk)
    tester.desk.hand_in(job_id, PASSPHRASE, making.APPROVER, tmp_path / "within")
    approver.desk.take_in(tmp_path / "within")
    (within,) = approver.desk.lines(job_id)
    approver.desk.comment(job_id, within.key, "Which probe?")

    assert (within.verdict, only(approver, job_id).state) == ("within", "open")


def test_an_open_comment_holds_the_approval_up_and_a_closed_one_does_not(
    approver: Seat, waiting: str
) -> None:
    comment = asked(approver, waiting)
    (line,) = approver.desk.exceptions(waiting)
    approver.desk.decide(waiting, line.key, "concession", "lead known", "a year")

    with pytest.raises(Refusal, match="1 comment is open: close it, or send the job back for an answer"):
        approver.desk.approve(waiting, PASSPHRASE)
    approver.desk.close_comment(waiting, comment.remark_id, "told by telephone")
    assert approver.desk.approve(waiting, PASSPHRASE).view.job.state == "approved"


def test_an_open_comment_alone_is_enough_to_send_a_job_back(approver: Seat, waiting: str) -> None:
    asked(approver, waiting)

    assert approver.desk.send_back(waiting, PASSPHRASE).view.job.state == "sent_back"


def test_an_open_comment_holds_the_hand_in_up(tester: Seat, waiting: str, sent_back: Path) -> None:
    corrected(tester, waiting, sent_back)

    with pytest.raises(Refusal, match=r"the comment “Measure on the CT's own terminals\.” wants an answer"):
        tester.desk.hand_in(waiting, PASSPHRASE, making.APPROVER)


def test_a_correction_is_answered_with_the_reading_that_corrects(
    tester: Seat, waiting: str, sent_back: Path
) -> None:
    comment = corrected(tester, waiting, sent_back)
    (reading,) = tester.desk.answer_readings(waiting, comment.remark_id, "correction")
    tester.desk.answer_comment(
        waiting, comment.remark_id, "correction", "slip of the pen", reading.reading_id
    )

    answered = only(tester, waiting)
    assert (answered.state, answered.steps[0].reading_id) == ("answered", ohms_reading(tester, waiting))
    assert tester.desk.hand_in(waiting, PASSPHRASE, making.APPROVER).view.job.state == "handed_in"
    told = [line.to_text for line in tester.desk.trail(waiting) if line.what_text == "comment answered"]
    assert told == ["corrected: slip of the pen"]


def test_a_retest_is_claimed_only_where_the_test_was_taken_again(
    tester: Seat, waiting: str, sent_back: Path
) -> None:
    comment = corrected(tester, waiting, sent_back)

    with pytest.raises(Refusal, match="There is no retest of this test yet"):
        tester.desk.answer_comment(waiting, comment.remark_id, "retest", "again", "any")


def test_an_answer_names_its_reading_and_its_reason(tester: Seat, waiting: str, sent_back: Path) -> None:
    comment = corrected(tester, waiting, sent_back)

    with pytest.raises(Refusal, match="Say which reading"):
        tester.desk.answer_comment(waiting, comment.remark_id, "rebuttal", "it stands", "elsewhere")
    with pytest.raises(Refusal, match="says why in words"):
        tester.desk.answer_comment(waiting, comment.remark_id, "rebuttal", " ", ohms_reading(tester, waiting))


def test_who_asked_does_not_answer(tester: Seat, waiting: str, sent_back: Path) -> None:
    comment = corrected(tester, waiting, sent_back)
    tester.desk.settings.change(person_id="m-oskarrin", person_name_text=making.APPROVER)

    with pytest.raises(Refusal, match="Who made a comment does not answer it"):
        tester.desk.answer_comment(
            waiting, comment.remark_id, "rebuttal", "mine", ohms_reading(tester, waiting)
        )


def test_who_tested_neither_closes_nor_opens_again(tester: Seat, waiting: str, sent_back: Path) -> None:
    comment = corrected(tester, waiting, sent_back)

    with pytest.raises(Refusal, match="closed by who decides"):
        tester.desk.close_comment(waiting, comment.remark_id)
    with pytest.raises(Refusal, match="closed by who decides"):
        tester.desk.reopen_comment(waiting, comment.remark_id, "why?")


def test_an_answer_arrives_and_is_opened_again_or_closed(
    tester: Seat, approver: Seat, waiting: str, sent_back: Path, tmp_path: Path
) -> None:
    comment = corrected(tester, waiting, sent_back)
    reading = ohms_reading(tester, waiting)
    tester.desk.answer_comment(waiting, comment.remark_id, "correction", "slip", reading)
    tester.desk.hand_in(waiting, PASSPHRASE, making.APPROVER, tmp_path / "again")
    approver.desk.take_in(tmp_path / "again")

    assert only(approver, waiting) == only(tester, waiting)
    with pytest.raises(Refusal, match="1 comment is answered and not closed"):
        approver.desk.approve(waiting, PASSPHRASE)
    with pytest.raises(Refusal, match="what is still asked"):
        approver.desk.reopen_comment(waiting, comment.remark_id, "")
    approver.desk.reopen_comment(waiting, comment.remark_id, "Which pen?")
    assert only(approver, waiting).state == "open"
    approver.desk.close_comment(waiting, comment.remark_id)
    assert only(approver, waiting).state == "closed"
    with pytest.raises(Refusal, match="This comment is closed; it cannot be closed"):
        approver.desk.close_comment(waiting, comment.remark_id)
    assert approver.desk.approve(waiting, PASSPHRASE).view.job.state == "approved"


def test_a_remark_of_who_tested_wants_no_answer(tester: Seat, waiting: str, sent_back: Path) -> None:
    corrected(tester, waiting, sent_back)
    line = tester.desk.lines(waiting)[0]
    tester.desk.comment(waiting, line.key, "the lead was cold")

    assert tester.desk.view(waiting).job.remarks[-1].state == ""


def test_a_question_does_not_say_why_a_test_is_missing(tester: Seat, waiting: str, sent_back: Path) -> None:
    tester.desk.take_in(sent_back)
    address = dataclasses.replace(
        making.ohms_cell(tester.desk, waiting), row="method", quantity_id="t_winding_source"
    )
    tester.desk.strike_cell(waiting, address, "unsure")

    told = [reason.text for reason in tester.desk.reasons(waiting, "hand_in")]
    assert any("winding temperature known by is not stated" in words for words in told)


COMMENT = Remark(
    remark_id="r", core_id="k", procedure_id="ratio", text="why?", person_id="m",
    at_utc="2031-05-04T08:00:00Z", utc_offset_minutes=0, finding_key="k/ratio.error/1/t/e", wants_answer=True,
)  # fmt: skip
STEP = CommentStep(kind="closed", text="", person_id="m", at_utc="2031-05-04T09:00:00Z", utc_offset_minutes=0)


def test_remarks_without_states_stay_as_they_were(tester: Seat, handed_in: tuple[str, Path]) -> None:
    record = from_bytes(tester.store.revisions(handed_in[0])[0].record_bytes)
    plain = dataclasses.replace(COMMENT, wants_answer=False)
    old = dataclasses.replace(record, job=dataclasses.replace(record.job, remarks=(plain,)))
    new = dataclasses.replace(
        record, job=dataclasses.replace(record.job, remarks=(dataclasses.replace(COMMENT, steps=(STEP,)),))
    )

    assert b"wants_answer" not in to_bytes(old)
    assert b'"steps"' not in to_bytes(old)
    assert (plain.state, from_bytes(to_bytes(old))) == ("", old)
    assert from_bytes(to_bytes(new)) == new


def test_what_was_signed_binds_comments_and_answers() -> None:
    text = "\n".join(["clean link 7", *bound_line([COMMENT])])

    assert comments_bound(text, [COMMENT])
    assert not comments_bound(text, [dataclasses.replace(COMMENT, text="no matter")])
    assert not comments_bound(text, [dataclasses.replace(COMMENT, steps=(STEP,))])
    assert not comments_bound("clean link 7", [COMMENT])
    assert comments_bound("clean link 7", [dataclasses.replace(COMMENT, wants_answer=False)])


def test_two_forms_of_a_comment_together_lose_nothing() -> None:
    mine = dataclasses.replace(COMMENT, steps=(STEP,))
    other = dataclasses.replace(COMMENT, remark_id="s")

    assert merged([mine], [COMMENT, other]) == (mine, other)
    assert merged([mine, other], [COMMENT]) == (mine, other)


def test_a_comment_goes_on_with_the_next_take_of_its_line(tester: Seat, waiting: str) -> None:
    (line,) = tester.desk.exceptions(waiting)
    again = dataclasses.replace(line, key=line.key.replace("/1/", "/2/"))
    comment = dataclasses.replace(
        COMMENT, core_id=line.core_id, procedure_id=line.procedure_id, finding_key=line.key
    )
    other = dataclasses.replace(line, key=f"{line.core_id}/other/1//x")

    assert line_of_comment(comment, [other, again]) == again.key
    assert line_of_comment(comment, [again, line]) == line.key
    assert line_of_comment(comment, [other]) == other.key
    assert line_of_comment(comment, []) == ""
