"""Real files that somebody altered or built to harm: each is refused with one clear sentence."""

from __future__ import annotations

import io
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable

import pikepdf
import pytest

from app.record import pack, sheet_reading
from app.record.problem import CannotTell
from app.record.verify import verify_bytes
from tests.app.record.signed_scene import person, revision_of, trust

ITS, OTHER = revision_of(), revision_of("1043")


def saved(pdf: pikepdf.Pdf) -> bytes:
    out = io.BytesIO()
    pdf.save(out)
    return out.getvalue()


def stamped() -> bytes:
    pdf = pikepdf.open(io.BytesIO(ITS.sheet))
    pdf.pages[0].contents_add(pikepdf.Stream(pdf, b"BT 100 400 Td ET"))
    return saved(pdf)


def with_a_page_of_another() -> bytes:
    pdf, other = pikepdf.open(io.BytesIO(ITS.sheet)), pikepdf.open(io.BytesIO(OTHER.sheet))
    pdf.pages[0].Contents = pdf.copy_foreign(other.pages[0].obj).Contents
    return saved(pdf)


def without_its_form() -> bytes:
    pdf = pikepdf.open(io.BytesIO(ITS.sheet))
    del pdf.Root.AcroForm
    for page in pdf.pages:
        if "/Annots" in page:
            del page.Annots
    return saved(pdf)


def stranger() -> bytes:
    pdf = pikepdf.new()
    pdf.add_blank_page()
    return saved(pdf)


def packed(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name, data)
    return out.getvalue()


def bomb() -> bytes:
    return packed({"record.json": b"0" * (pack.LARGEST_FILE + 1)})


def bomb_that_lies() -> bytes:
    size = (pack.LARGEST_FILE + 1).to_bytes(4, "little")
    return bomb().replace(size, (10).to_bytes(4, "little"))


WRITTEN_ANEW = "or another program wrote it anew after it was signed"


@pytest.mark.parametrize(
    ("made", "outcome", "said"),
    [
        (stamped, "cannot tell", WRITTEN_ANEW),
        (with_a_page_of_another, "cannot tell", WRITTEN_ANEW),
        (without_its_form, "cannot tell", WRITTEN_ANEW),
        (
            lambda: ITS.sheet + b"\n% stamp\n",
            "altered",
            "Something was added to the sheet after it was signed",
        ),
        (lambda: ITS.sheet[:-4000], "altered", "after it was signed"),
        (lambda: ITS.certified, "cannot tell", "the sheet is not issued, or it was cut off"),
        (stranger, "cannot tell", "This PDF is no signed sheet of this program"),
        (lambda: b"", "cannot tell", "no sheet, signed job file, store or evidence pack"),
        (bomb, "cannot tell", "would unpack to a file of more than 64 MB"),
        (bomb_that_lies, "cannot tell", "The pack is damaged"),
        (lambda: packed({"../x": b""}), "cannot tell", "This is no evidence pack"),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_each_is_refused_with_one_sentence(made: Callable[[], bytes], outcome: str, said: str) -> None:
    verdict = verify_bytes(made(), trust=trust())
    assert verdict.outcome == outcome
    assert said in verdict.sentences[0]


@pytest.fixture
def many_of_one() -> bytes:
    """A sheet of a few kilobytes that names one stream of 32 MB of zeros fifty times."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    stream = pikepdf.Stream(pdf, b"")
    stream.write(zlib.compress(bytes(32 << 20), 9), filter=pikepdf.Name.FlateDecode)
    spec = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Filespec, EF=pikepdf.Dictionary(F=stream)))
    names = [entry for number in range(50) for entry in (pikepdf.String(f"{number:02d}.json"), spec)]
    pdf.Root.Names = pikepdf.Dictionary(EmbeddedFiles=pikepdf.Dictionary(Names=pikepdf.Array(names)))
    return saved(pdf)


def test_attached_files_that_are_too_large_together_are_not_all_unpacked(many_of_one: bytes) -> None:
    tracemalloc.start()
    try:
        with pytest.raises(CannotTell, match="larger than this program reads"):
            sheet_reading.attached_to(many_of_one)
        _now, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < 200 << 20


def test_a_signature_of_a_stranger_is_told_as_one_of_an_unknown_office() -> None:
    from app.record import signing
    from tests.app.record.signed_scene import TESTED_AT, TESTER_ID

    foreign = person("A. Tester", TESTER_ID, ("tester",), by="Another Office", key_name="foreign")
    record = packed(
        {"record.json": ITS.record, "record.p7s": signing.sign_tested(ITS.record, foreign, at=TESTED_AT)}
    )
    verdict = verify_bytes(record, trust=trust())
    assert verdict.outcome == "cannot tell"
    assert any("from an office unknown here" in sentence for sentence in verdict.sentences)
