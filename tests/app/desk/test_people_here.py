from __future__ import annotations

import pytest

from app.desk import Address, Refusal
from app.desk.people_here import REMEMBERED, people_here, remembered, sit_down


def names(desk):
    return [one.name_text for one in people_here(desk)]


def test_who_sits_here_stands_first_and_those_before_follow(desk):
    sit_down(desk, "M. Oster")
    sit_down(desk, "A. Brink")
    assert names(desk) == ["A. Brink", "M. Oster", "T. Adder"]
    assert [one.sits_here for one in people_here(desk)] == [True, False, False]


def test_who_comes_back_keeps_the_number_in_the_records(desk):
    first = desk.settings.me()[0]
    other = sit_down(desk, "M. Oster")
    assert other != first
    assert sit_down(desk, "T. Adder") == first
    assert sit_down(desk, "M. Oster") == other


def test_each_reading_names_who_keyed_it(desk, job_id, core_id):
    first = desk.settings.me()[0]
    desk.key_many(job_id, [(Address(core_id, "excitation", 1, "1", "v_excitation_v"), "52.5")])
    second = sit_down(desk, "M. Oster")
    desk.key_many(job_id, [(Address(core_id, "excitation", 1, "2", "v_excitation_v"), "60.5")])
    assert [entry.person_id for entry in desk.view(job_id).job.readings] == [first, second]


def test_everybody_has_a_key_of_their_own(desk):
    desk.make_key("a passphrase of T. Adder")
    sit_down(desk, "M. Oster")
    assert desk.my_key() is None
    desk.make_key("another one of M. Oster")
    shown = {one.name_text: one.fingerprint for one in people_here(desk)}
    assert len(set(shown.values())) == 2
    assert all(shown.values())


def test_two_people_of_one_name_are_told_apart_by_their_number(desk):
    desk.make_key("a passphrase of T. Adder")
    first = desk.settings.me()[0]
    desk.settings.change(person_id="another-one", person_name_text="T. Adder")
    assert [one.person_id for one in people_here(desk)] == ["another-one", first]
    assert sit_down(desk, "T. Adder", first) == first


def test_a_person_of_an_open_job_keeps_the_number_there(desk, job_id):
    me = desk.settings.me()[0]
    desk.settings.change(person_id="", person_name_text="M. Oster", people_text="")
    assert sit_down(desk, "T. Adder") == me


def test_nobody_sits_down_without_a_name(desk):
    with pytest.raises(Refusal, match="Say the name as it stands on the sheet"):
        sit_down(desk, "  ")
    assert desk.settings.me()[1] == "T. Adder"


def test_a_number_that_nobody_here_has_is_refused(desk):
    with pytest.raises(Refusal, match="not known at this computer"):
        sit_down(desk, "M. Oster", "made-up")


def test_only_so_many_are_remembered_and_a_damaged_list_is_no_list(desk):
    [sit_down(desk, f"Person {number}") for number in range(REMEMBERED + 5)]
    assert len(remembered(desk.settings)) == REMEMBERED
    desk.settings.change(people_text="{")
    assert remembered(desk.settings) == []
