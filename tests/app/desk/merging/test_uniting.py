"""Two laptops on one job: everything of both once, and a question where they differ."""

from __future__ import annotations

import dataclasses
import json

import pytest

from app.desk.merging import Form, Unlike, form_of, open_questions, united, value_of
from ctcore.job import Header
from ctcore.takes import takes_of
from tests.app.desk.merging.laptops import Laptop


@pytest.fixture
def first() -> Laptop:
    return Laptop.with_new_job("A")


@pytest.fixture
def second(first: Laptop) -> Laptop:
    return first.hand_out("B")


def merged(one: Laptop, other: Laptop) -> Form:
    there, back = united(one.form, other.form), united(other.form, one.form)
    assert there == back
    assert united(there, one.form) == there
    return there


def test_readings_of_both_are_there_once(first: Laptop, second: Laptop) -> None:
    first.key("a", "2.1")
    second.key("b", "2.2")
    job = merged(first, second).job

    assert {one.as_typed_text for one in job.readings} == {"2.1", "2.2"}
    assert (job.state, job.questions) == ("being_tested", ())


def test_two_readings_of_one_field_both_stand(first: Laptop, second: Laptop) -> None:
    first.key("a", "2.1")
    second.key("a", "2.2")
    (take,) = takes_of(merged(first, second).job.readings)["k1", "resistance"]

    assert take.row("a").cell("r_measured_ohm").disputed


def test_what_one_side_alone_changed_is_no_question(first: Laptop, second: Laptop) -> None:
    first.title(weather_text="rain")
    second.instrument("i1", "Bridge 4")
    second.land("lead 1")
    job = merged(first, second).job

    assert (job.header.weather_text, job.questions) == ("rain", ())
    assert [one.name_text for one in job.instruments] == ["Bridge 4"]
    assert [one.lead_id for one in job.landings] == ["lead 1"]


def test_a_field_that_both_changed_is_a_question_with_who_and_when(first: Laptop, second: Laptop) -> None:
    first.title(weather_text="rain")
    second.title(weather_text="dry")
    ((question, field),) = open_questions(merged(first, second).job)

    assert (question.part_id, field) == ("header", "header/weather_text")
    assert {value_of(question, side, field) for side in (0, 1)} == {"rain", "dry"}
    assert {side.person_text for side in question.sides} == {"Person A", "Person B"}
    assert all(side.at_utc for side in question.sides)


def test_what_one_side_took_out_and_the_other_changed_is_kept_and_asked(
    first: Laptop,
) -> None:
    first.instrument("i1", "Bridge 4")
    second = first.hand_out("B")
    first.without_instrument("i1")
    second.instrument("i1", "Bridge 5")
    job = merged(first, second).job

    assert [one.name_text for one in job.instruments] == ["Bridge 5"]
    assert [field for _, field in open_questions(job)] == [""]


def test_what_one_side_took_out_and_nobody_needs_is_gone(first: Laptop) -> None:
    first.instrument("i1", "Bridge 4")
    second = first.hand_out("B")
    first.without_instrument("i1")
    second.key("a", "2.1")
    job = merged(first, second).job

    assert (job.instruments, job.questions) == ((), ())


def test_a_set_taken_out_while_somebody_read_on_it_comes_back_with_a_question(first: Laptop) -> None:
    first.add_position("S2")
    second = first.hand_out("B")
    first.without_position("S2")
    second.key("a", "2.1", core_id="k-S2")
    job = merged(first, second).job

    assert [one.position_id for one in job.positions] == ["p1", "p-S2"]
    assert len(job.positions[1].cts) == 1
    assert {question.part_id for question, _ in open_questions(job)} == {"position:p-S2", "ct:t-S2"}


def test_an_answer_is_known_to_the_other_side_and_asked_no_more(first: Laptop, second: Laptop) -> None:
    first.class_text("PX Ek 200 V Ie 30 mA Rct 3 ohm")
    second.class_text("5P10 15 VA")
    first.take(second)
    first.answer(0)
    kept = first.job.positions[0].cts[0].cores[0].class_text
    assert not open_questions(first.job)
    second.take(first)

    assert not open_questions(second.job)
    assert second.job.positions[0].cts[0].cores[0].class_text == kept
    assert second.job.questions[0].answers[0].reason_text == "looked"


def test_a_change_after_a_merge_is_no_new_question(first: Laptop, second: Laptop) -> None:
    second.title(weather_text="dry")
    first.take(second)
    second.title(weather_text="rain")

    assert merged(first, second).job.header.weather_text == "rain"
    assert not open_questions(merged(first, second).job)


def test_an_edit_over_an_open_question_does_not_answer_it(first: Laptop, second: Laptop) -> None:
    first.title(weather_text="rain")
    second.title(weather_text="dry")
    first.take(second)
    first.title(supply_text="generator")
    second.take(first)

    assert [field for _, field in open_questions(second.job)] == ["header/weather_text"]


def test_one_number_with_two_contents_is_refused(first: Laptop, second: Laptop) -> None:
    reading = first.key("a", "2.1")
    second.write("reading", second.job, [dataclasses.replace(reading, as_typed_text="9.9")])

    with pytest.raises(Unlike, match=r"One reading says two things: “2\.1” and “9\.9”"):
        united(first.form, second.form)


def test_a_store_brought_back_from_a_copy_is_refused(first: Laptop) -> None:
    copy = Laptop("A", first.job, [], first.events)
    copy._clock = first._clock
    copy.title(weather_text="fog")
    first.title(weather_text="rain")

    with pytest.raises(Unlike, match="brought back from an older copy"):
        united(first.form, copy.form)


def test_another_job_and_a_locked_one_are_refused(first: Laptop) -> None:
    other = form_of(dataclasses.replace(first.job, job_id="j2", header=Header(number_text="1")), ())
    with pytest.raises(Unlike, match="two different jobs"):
        united(first.form, other)
    locked = form_of(dataclasses.replace(first.job, state="handed_in"), ())
    with pytest.raises(Unlike, match="not merged any more"):
        united(first.form, locked)


def test_a_job_without_any_trail_is_taken_as_it_stands(first: Laptop) -> None:
    bare = form_of(
        dataclasses.replace(first.job, header=dataclasses.replace(first.job.header, weather_text="x")), ()
    )
    ((question, field),) = open_questions(united(first.form, bare).job)

    assert field == "header/weather_text"
    assert [bool(json.loads(side.body_text)) for side in question.sides] == [True, True]


def test_a_question_that_another_one_took_the_place_of_is_asked_in_no_order(
    first: Laptop, second: Laptop
) -> None:
    third, fourth = first.hand_out("C"), first.hand_out("D")
    first.title(weather_text="rain")
    second.title(weather_text="dry")
    fourth.title(weather_text="fog")
    third.take(first)
    third.take(second)
    third.take(fourth)
    third.title(supply_text="generator")
    first.take(second)
    one, other, last = first.form, fourth.form, third.form

    together = united(united(one, other), last)
    assert together == united(one, united(other, last)) == united(united(last, one), other)
    (question,) = together.job.questions
    assert (len(question.sides), question.open_fields) == (3, ("header/weather_text",))


def test_two_different_answers_are_asked_about_again(first: Laptop, second: Laptop) -> None:
    first.title(weather_text="rain")
    second.title(weather_text="dry")
    first.take(second)
    second.take(first)
    first.answer(0)
    second.answer(1)
    assert (first.job.header.weather_text, second.job.header.weather_text) == ("rain", "dry")
    job = merged(first, second).job

    assert len(job.questions) == 2
    assert [field for _, field in open_questions(job)] == ["header/weather_text"]


def test_what_no_event_tells_of_stays_a_question_until_it_is_answered(first: Laptop) -> None:
    bare = form_of(
        dataclasses.replace(first.job, header=dataclasses.replace(first.job.header, weather_text="x")), ()
    )
    again = form_of(united(first.form, bare).job, first.events)
    assert len(open_questions(united(again, first.form).job)) == 1
    first.job = united(again, first.form).job
    first.answer(0)

    assert not open_questions(united(first.form, again).job)
    assert not open_questions(united(first.form, bare).job)


def test_a_part_said_to_be_taken_out_has_no_more_fields_to_answer(first: Laptop) -> None:
    first.instrument("i1", "Bridge")
    second, third = first.hand_out("B"), first.hand_out("C")
    first.without_instrument("i1")
    second.instrument("i1", "Bridge 4")
    third.instrument("i1", "Bridge 5")
    first.take(second)
    first.take(third)
    assert [field for _, field in open_questions(first.job)] == ["", "name_text"]
    (question,) = first.job.questions
    first.answer([bool(side.body_text) for side in question.sides].index(False))

    assert (first.job.instruments, open_questions(first.job)) == ((), ())
