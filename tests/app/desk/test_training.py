from __future__ import annotations

import dataclasses

import pytest

import samples
from app.desk import Desk, Refusal
from app.desk.training import RECORD_STEPS, WORDS
from app.exchange import jobfile
from app.jobstore import Store
from app.report.forms import FormsInput, render
from app.settings import Settings, training_folder
from ctcore.job import Header
from tests.app.desk.making import Clock
from tests.app.report.reading_back import text_of


@pytest.fixture
def trained(tmp_path):
    folder = training_folder(tmp_path)
    settings = Settings.load(folder)
    settings.change(person_name_text="T. Adder", organisation_text="Rill and Bank Testing")
    store = Store.open(settings.store_path)
    yield Desk(store, settings, clock=Clock())
    store.close()


@pytest.fixture
def sample(tmp_path):
    path = tmp_path / samples.FIRST.file_name
    path.write_bytes(samples.FIRST.file.read_bytes())
    return path


@pytest.fixture
def practised(trained, sample):
    return trained.import_job(sample).view.job.job_id


def pages_of(path, tmp_path):
    return text_of(path.read_bytes(), tmp_path).split("\f")[:-1]


def test_a_folder_of_training_is_marked_and_one_beside_it_is_not(tmp_path):
    assert Settings.load(training_folder(tmp_path)).training
    assert not Settings.load(tmp_path).training


def test_a_job_that_is_begun_in_training_carries_its_mark(trained, desk):
    assert trained.new_job(Header(number_text="1")).view.job.header.training
    assert not desk.new_job(Header(number_text="1")).view.job.header.training


def test_a_real_job_comes_in_as_one_copy_with_another_number_open_for_keying(trained, sample):
    real = jobfile.load(sample)
    copy = trained.take_in(sample).view.job
    again = trained.take_in(sample).view.job
    assert copy.job_id != real.job_id
    assert copy.header.number_text == f"{real.header.number_text} training"
    assert (copy.header.training, copy.state, len(copy.readings)) == (
        True,
        "being_tested",
        len(real.readings),
    )
    assert again.job_id == copy.job_id
    assert len(trained.jobs()) == 1


def test_a_job_of_training_is_refused_where_records_are_kept(trained, practised, desk, tmp_path):
    path = trained.export_job(practised, tmp_path / "practised.json")
    with pytest.raises(Refusal, match="made in training and is not a record"):
        desk.take_in(path)
    assert desk.jobs() == []


def test_a_job_of_training_comes_into_another_training_as_it_is(trained, practised, tmp_path):
    path = trained.export_job(practised, tmp_path / "practised.json")
    assert trained.take_in(path).view.job.job_id == practised


@pytest.mark.parametrize("step", sorted(RECORD_STEPS))
def test_no_step_makes_a_record_of_what_was_practised(trained, practised, step):
    with pytest.raises(Refusal, match=f"saved in training[.] This is {WORDS}"):
        trained._demand_step(trained._of(practised), step)
    assert trained.reasons(practised, step)[0].text == f"this is {WORDS}"


def test_a_store_of_training_in_the_place_of_the_real_one_makes_no_record(trained, practised, tmp_path):
    real = Desk(trained.store, Settings.load(tmp_path / "real"), clock=Clock())
    with pytest.raises(Refusal, match=WORDS):
        real.freeze(practised)


@pytest.mark.parametrize(
    "leave",
    [
        lambda desk, path: desk.write_certificate(path),
        lambda desk, path: desk.ask_for_certificate("a passphrase of training", path),
        lambda desk, path: desk.write_key("a passphrase of training", "another one of training", path),
        lambda desk, path: desk.write_office_certificate(path),
        lambda desk, path: desk.write_office_list(path),
        lambda desk, path: desk.enrol("a passphrase of training", path, (), path),
        lambda desk, _path: desk.courier(),
    ],
)
def test_nothing_of_training_is_given_to_those_who_keep_records(trained, tmp_path, leave):
    with pytest.raises(Refusal, match=f"kept in training[.] This is {WORDS}"):
        leave(trained, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_job_handed_in_is_not_taken_into_training(trained, handed_in):
    with pytest.raises(Refusal, match="nothing signed is taken in here; a job file is, as a copy"):
        trained.take_in(handed_in[1])


def test_keys_and_trust_of_training_lie_in_its_own_folder(trained, tmp_path):
    trained.make_key("a passphrase of training")
    assert trained.my_key() is not None
    assert not (tmp_path / "keys").exists()
    assert not (tmp_path / "trust").exists()


def test_every_page_of_a_sheet_of_training_says_what_it_is(trained, practised, tmp_path):
    pages = pages_of(trained.sheet(practised, tmp_path / "sheet.pdf"), tmp_path)
    assert len(pages) > 5
    assert all(page.count("TRAINING: NOT A RECORD") == 2 for page in pages)


def test_every_page_of_a_form_of_training_says_what_it_is(trained, practised, tmp_path):
    job = trained.view(practised).job
    pages = text_of(render(FormsInput(job)).data, tmp_path).split("\f")[:-1]
    assert len(pages) > 5
    assert all("FIELD FORM, TRAINING: NOT A RECORD" in page for page in pages)


def test_a_real_sheet_says_nothing_of_training(desk, sample, tmp_path):
    job_id = desk.import_job(sample).view.job.job_id
    assert "TRAINING" not in "".join(pages_of(desk.sheet(job_id, tmp_path / "sheet.pdf"), tmp_path))


def test_the_mark_stays_when_the_title_block_is_changed(trained, practised):
    header = dataclasses.replace(trained.view(practised).job.header, site_text="Bench")
    assert trained.set_header(practised, header).view.job.header.training
