from __future__ import annotations

import dataclasses

import pytest

from app.desk import Desk
from app.jobstore import Store
from app.record import envelope
from app.settings import Settings
from app.ui.shell.session import STORE_NAME
from ctcore.job import Header, ReferenceValue
from tests.app.desk import making
from tests.app.ui.desk_of_window import ANSWERS, Hand

PASSPHRASE = making.PASSPHRASE


@pytest.fixture(autouse=True)
def _cheap_envelopes(monkeypatch):
    monkeypatch.setattr(envelope, "MEMORY_KIB", 64)


@pytest.fixture(scope="session")
def waiting_store(tmp_path_factory):
    """A store where who decides finds one job of three phases; two of them are over the plate."""
    folder = tmp_path_factory.mktemp("waiting")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(envelope, "MEMORY_KIB", 64)
        settings = Settings.load(folder)
        store = Store.open(folder / STORE_NAME)
        desk = Desk(store, settings)
        settings.change(**{**ANSWERS, "person_id": "adder", "person_name_text": "T. Adder"})
        desk.make_key(PASSPHRASE)
        job_id = _job(desk)
        desk.hand_in(job_id, PASSPHRASE, "M. Oskarrin")
        settings.change(person_id="oskarrin", person_name_text="M. Oskarrin")
        desk.make_key(PASSPHRASE)
        desk.close_job(job_id)
        store.close()
    return folder


@pytest.fixture
def hand(qtbot, tmp_path, waiting_store):
    """Who decides, in front of the review with the job in hand."""
    import shutil

    from PySide6.QtCore import Qt

    shutil.copytree(waiting_store, tmp_path, dirs_exist_ok=True)
    answers = {**ANSWERS, "person_id": "oskarrin", "person_name_text": "M. Oskarrin"}
    made = Hand(qtbot, tmp_path, **answers)
    made.open_store()
    made.press(Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    page = made.window.page("review")
    made.wait(lambda: page.queue_model.rowCount() == 1)
    made.press(Qt.Key.Key_Return)
    made.wait(lambda: page.model.rowCount() > 0 and page.detail.model.rowCount() > 0)
    yield made
    made.close()


def _job(desk: Desk) -> str:
    header = Header(number_text="1042", title_text="Brackmere 4", outage_ends_text="today 16:00")
    job_id = desk.new_job(header).view.job.job_id
    desk.add_position(job_id, "S2 bus", core_classes=("PX Ek 200 V Ie 30 mA Rct 3 ohm",))
    cores = []
    for number, ct in enumerate(desk.view(job_id).job.positions[0].cts, start=1):
        planned = tuple(dataclasses.replace(core, procedures=("resistance",)) for core in ct.cores)
        desk.set_ct(
            job_id, dataclasses.replace(ct, cores=planned, plate_confirmed=True, serial_text=f"B-{number}")
        )
        cores.append(planned[0])
    for core, ohms in zip(cores, ("2.091", "2.573", "2.901"), strict=True):
        row = core.taps[0].tap_id
        entries = [("method", "leads", "four-wire"), ("method", "t_winding_degc", "11")]
        entries += [("method", "t_winding_source", "surface probe"), (row, "i_test_a", "1")]
        entries += [(row, "r_measured_ohm", ohms)]
        desk.key_many(
            job_id,
            [
                (making.Address(core.core_id, "resistance", 1, at, quantity), words)
                for at, quantity, words in entries
            ],
        )
    known = ReferenceValue(
        core_id=cores[1].core_id, row=cores[1].taps[0].tap_id, quantity_id="r_winding_75degc_ohm",
        kind="certificate", value=2.63, source_text="works certificate",
    )  # fmt: skip
    references = dataclasses.replace(desk.view(job_id).job.references, values=(known,))
    desk.set_references(job_id, references)
    return job_id
