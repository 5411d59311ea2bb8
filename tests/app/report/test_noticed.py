"""What the program noticed, on paper."""

from __future__ import annotations

from collections.abc import Callable
from importlib import resources

from app.exchange import jobfile
from app.report.content import SheetInput
from ctcore.job import Job
from ctcore.notices import notices
from ctcore.takes import takes_of
from samples import sample
from tests.app.report.making import draft
from tests.app.report.reading_back import flat

Printed = Callable[[SheetInput], str]


def _job_of(name: str) -> Job:
    with resources.as_file(sample(name).file) as path:
        return jobfile.load(path)


def test_everything_noticed_is_printed_with_its_question_and_its_offer(printed: Printed) -> None:
    job = _job_of("faulty_bay")
    told = printed(draft(job)).split("Noticed by the program")[-1]
    found = notices(job, takes_of(job.readings))
    questions = [flat(one.sentence).rsplit(". ", 1)[-1].split()[:3] for one in found]
    assert len(questions) == 10
    assert [words for words in questions if " ".join(words) not in told] == []
    assert "Offered, not done: Key exciting current" in told


def test_a_job_without_notices_has_no_such_section(printed: Printed, three_phases: Job) -> None:
    assert "Noticed by the program" not in printed(draft(three_phases))
