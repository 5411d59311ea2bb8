"""The verbs of the command line: what they print, write and leave with."""

from __future__ import annotations

import contextlib
import io
import json
import subprocess
import sys
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import pytest

from app import commands
from app.exchange import jobfile
from ctcore.findings import Finding
from ctcore.judge import judge
from samples import sample
from tests.app.record.signed_scene import revision_of


@dataclass(frozen=True, slots=True)
class Demo:
    """What one run of the demo left with, said and wrote."""

    code: int
    said: str
    folder: Path


@pytest.fixture
def line_bay(tmp_path: Path) -> Path:
    return _copy("line_bay", tmp_path)


@pytest.fixture
def toroid(tmp_path: Path) -> Path:
    return _copy("steel_toroid", tmp_path)


@pytest.fixture
def faulty_bay(tmp_path: Path) -> Path:
    return _copy("faulty_bay", tmp_path)


def _copy(name: str, folder: Path) -> Path:
    path = folder / "job.json"
    path.write_bytes(sample(name).file.read_bytes())
    return path


def text_of(pdf: Path) -> str:
    return subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], capture_output=True, check=True
    ).stdout.decode()


# judge


def test_judge_leaves_with_1_where_something_is_outside(line_bay: Path) -> None:
    assert commands.run(["judge", str(line_bay)]) == 1


def test_judge_leaves_with_0_where_nothing_is_outside(toroid: Path) -> None:
    assert commands.run(["judge", str(toroid)]) == 0


def test_judge_prints_the_worst_first(line_bay: Path, capsys: pytest.CaptureFixture[str]) -> None:
    commands.run(["judge", str(line_bay)])
    head, worst, *_ = capsys.readouterr().out.splitlines()
    assert head.split()[:2] == ["Place", "Test"]
    assert "L3 core 2" in worst
    assert "outside" in worst


def test_judge_ends_with_the_counts(toroid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    commands.run(["judge", str(toroid)])
    assert capsys.readouterr().out.splitlines()[-1] == "ST-1: 6 within"


def test_judge_prints_a_line_per_finding(line_bay: Path, capsys: pytest.CaptureFixture[str]) -> None:
    commands.run(["judge", str(line_bay)])
    lines = capsys.readouterr().out.splitlines()
    # A head, a line per finding, an empty line and the counts.
    assert len(lines) - 3 == len(judge(jobfile.load(line_bay)))


def test_judge_as_json_is_the_findings_of_the_core(
    line_bay: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = commands.run(["judge", str(line_bay), "--json"])
    found = json.loads(capsys.readouterr().out)
    made = {Finding(**{name: value for name, value in one.items() if name != "place"}) for one in found}
    assert (code, made) == (1, set(judge(jobfile.load(line_bay))))


def test_judge_as_json_names_what_a_reader_needs(toroid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    commands.run(["judge", "--json", str(toroid)])
    first = json.loads(capsys.readouterr().out)[0]
    assert {"place", "core", "quantity", "value", "limit", "margin", "verdict", "source", "rule"} <= set(
        first
    )


def test_judge_prints_what_was_noticed_between_findings_and_counts(
    faulty_bay: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    commands.run(["judge", str(faulty_bay)])
    *_, told, counts = capsys.readouterr().out.split("\n\n")
    first, *rest = told.splitlines()
    assert first == "Noticed, no verdict rests on it:"
    assert len(rest) == 10
    assert any("Are two leads of L2 exchanged?" in line for line in rest)
    assert any("Offered, not done: Key exciting current" in line for line in rest)
    assert "outside" in counts


def test_judge_as_json_gives_notices_beside_the_findings_when_asked(
    faulty_bay: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    commands.run(["judge", "--json", "--notices", str(faulty_bay)])
    found = json.loads(capsys.readouterr().out)
    slip = next(one for one in found["notices"] if one["notice_id"] == "decimal_slip")
    assert slip["places"][0].endswith("L2 core 2")
    assert slip["offer"]["entries"][0]["quantity_id"] == "i_excitation_a"
    assert {"verdict", "value"} <= set(found["findings"][0])


# sheet


def test_sheet_writes_a_draft_of_the_job(toroid: Path, tmp_path: Path) -> None:
    code = commands.run(["sheet", str(toroid), "--out", str(tmp_path / "sheet.pdf")])
    assert code == 0
    assert "Excitation of two steels" in text_of(tmp_path / "sheet.pdf")


def test_sheet_leaves_the_job_file_as_it_was(toroid: Path, tmp_path: Path) -> None:
    before = toroid.read_bytes()
    commands.run(["sheet", str(toroid), "--out", str(tmp_path / "sheet.pdf")])
    assert toroid.read_bytes() == before


def test_sheet_does_not_overwrite_the_job_file(toroid: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = toroid.read_bytes()
    assert commands.run(["sheet", str(toroid), "--out", str(toroid)]) == 64
    assert toroid.read_bytes() == before


def test_a_sheet_that_cannot_be_written_says_so(
    toroid: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert commands.run(["sheet", str(toroid), "--out", str(tmp_path / "gone" / "sheet.pdf")]) == 73
    assert "cannot be written: no such file or directory" in capsys.readouterr().err


# demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """One run of the demo into a folder that was not there."""
    folder = tmp_path_factory.mktemp("demo") / "new" / "folder"
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        code = commands.run(["demo", "--out", str(folder)])
    return Demo(code, said.getvalue(), folder)


def test_the_demo_carries_the_sample_through_to_sheet_and_job_file(demo: Demo) -> None:
    files = sorted(demo.folder.iterdir())
    assert demo.code == 0
    assert [path.name for path in files] == ["line_bay_job.json", "line_bay_sheet.pdf"]
    assert all(str(path) in demo.said for path in files)


def test_the_demo_says_what_was_found_and_who_declared_it(demo: Demo) -> None:
    assert "1 outside" in demo.said
    assert "tested by Mirel Oxanard; no signature is made" in demo.said


def test_the_demo_prints_on_the_sheet_the_digest_that_it_says(demo: Demo) -> None:
    line = next(line for line in demo.said.splitlines() if line.startswith("Digest"))
    digest = line.rpartition(" ")[2]
    first_line = " ".join(digest[at : at + 4] for at in range(0, 28, 4))
    assert first_line in text_of(demo.folder / "line_bay_sheet.pdf")


def test_the_demo_job_file_holds_every_reading_of_the_sample(demo: Demo) -> None:
    with resources.as_file(sample("line_bay").file) as path:
        before = jobfile.load(path)
    assert jobfile.load(demo.folder / "line_bay_job.json").readings == before.readings


def test_the_demo_can_be_run_again_in_the_same_folder(demo: Demo) -> None:
    assert commands.run(["demo", "--out", str(demo.folder)]) == 0


def test_a_demo_folder_that_cannot_be_made_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    assert commands.run(["demo", "--out", str(tmp_path / "taken")]) == 73
    assert "cannot be written" in capsys.readouterr().err


def test_the_demo_folder_is_told_without_running_the_demo() -> None:
    assert commands.demo_folder(["demo"]) == Path("coreleaf-demo")


# Wrong usage and bad input


@pytest.mark.parametrize(
    "argv",
    [
        [],
        ["judge"],
        ["sheet", "job.json"],
        ["weigh"],
        ["judge", "a", "b"],
        ["judge", "--xml", "a"],
        ["demo", "x"],
    ],
)
def test_wrong_usage_leaves_with_64(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(argv) == 64
    assert "usage: coreleaf" in capsys.readouterr().err


@pytest.mark.parametrize("argv", [["--help"], ["judge", "--help"]])
def test_help_names_the_exit_codes(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(argv) == 0
    assert "65 bad input" in " ".join(capsys.readouterr().out.split())


BAD = {
    "cut off": b'{"format": "coreleaf-job", "version": 1, "job_',
    "newer": b'{"format": "coreleaf-job", "version": 2, "chapters": []}',
    "twice": b'{"format": "coreleaf-job", "version": 1, "version": 1}',
    "NaN": b'{"format": "coreleaf-job", "version": 1, "frequency_rated_hz": NaN}',
}


@pytest.mark.parametrize("verb", [["judge"], ["sheet", "--out", "sheet.pdf"]], ids=lambda verb: verb[0])
@pytest.mark.parametrize("data", BAD.values(), ids=BAD.keys())
def test_bad_input_is_one_line_and_leaves_with_65(
    verb: list[str],
    data: bytes,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bay.json").write_bytes(data)
    code = commands.run([verb[0], "bay.json", *verb[1:]])
    said = capsys.readouterr()
    assert code == 65
    assert said.out == ""
    assert said.err.startswith("bay.json: ")
    assert said.err.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["bay.json"]


def test_a_file_that_is_not_there_leaves_with_65(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert commands.run(["judge", str(tmp_path / "gone.json")]) == 65
    assert "cannot be read: no such file or directory" in capsys.readouterr().err


# The process as a whole


def test_no_verb_imports_qt(toroid: Path, tmp_path: Path) -> None:
    script = (
        "import sys; from app import commands;"
        "codes = [commands.run(argv.split('|')) for argv in sys.argv[1:]];"
        "found = [name for name in sys.modules if name.startswith(('PySide6', 'pyqtgraph'))];"
        "sys.exit(str([codes, found]) if any(codes) or found else 0)"
    )
    verbs = [
        f"demo|--out|{tmp_path / 'demo'}",
        f"judge|{toroid}",
        f"sheet|{toroid}|--out|{tmp_path / 's.pdf'}",
    ]
    done = subprocess.run([sys.executable, "-c", script, *verbs], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_console_without_the_trade_signs_still_gets_its_lines(toroid: Path) -> None:
    script = "import sys; from app import commands; sys.exit(commands.run(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-X", "utf8=0", "-c", script, "judge", str(toroid)],
        env={"PYTHONIOENCODING": "ascii", "LC_ALL": "C"},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"ST-1: 6 within" in done.stdout


def test_a_reader_that_stops_early_meets_no_traceback_and_the_code_stays(line_bay: Path) -> None:
    script = "import sys; from app import commands; sys.exit(commands.run(sys.argv[1:]))"
    with subprocess.Popen(
        [sys.executable, "-c", script, "judge", str(line_bay)], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        said = running.stderr.read()
    assert (said, running.returncode) == (b"", 1)


# verify


@pytest.fixture
def signed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a signed sheet, its pack and the certificate of the office; nobody is trusted yet."""
    its = revision_of()
    monkeypatch.setenv("CORELEAF_HOME", str(tmp_path / "home"))
    (tmp_path / "sheet.pdf").write_bytes(its.sheet)
    (tmp_path / "pack.zip").write_bytes(its.packed)
    (tmp_path / "office.pem").write_bytes(its.papers.office or b"")
    return tmp_path


def verify(folder: Path, *words: str) -> int:
    with contextlib.chdir(folder):
        return commands.run(["verify", *words])


def test_verify_leaves_with_0_for_a_genuine_pack(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert verify(signed, "pack.zip", "--ca", "office.pem") == 0
    said = capsys.readouterr().out
    assert said.startswith("Genuine: number 1042, revision 1,")
    assert "tested by A. Tester, 2031-05-04T14:30:00Z" in said


def test_verify_leaves_with_1_for_an_altered_sheet(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (signed / "stamped.pdf").write_bytes((signed / "sheet.pdf").read_bytes() + b"%stamp\n")

    assert verify(signed, "stamped.pdf", "--ca", "office.pem") == 1
    assert capsys.readouterr().out.startswith(
        "Altered: Something was added to the sheet after it was signed."
    )


def test_verify_leaves_with_2_where_nobody_is_trusted(
    signed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert verify(signed, "sheet.pdf") == 2
    assert capsys.readouterr().out.startswith("Cannot tell: Nobody known here vouches for")


def test_verify_trusts_whom_this_computer_trusts(signed: Path) -> None:
    (signed / "home" / "trust").mkdir(parents=True)
    (signed / "office.pem").rename(signed / "home" / "trust" / "office.pem")

    assert verify(signed, "sheet.pdf") == 0


def test_verify_holds_a_sheet_against_a_pack(signed: Path) -> None:
    (signed / "other.pdf").write_bytes(revision_of("7781").sheet)

    assert verify(signed, "sheet.pdf", "--ca", "office.pem", "--pack", "pack.zip") == 0
    assert verify(signed, "other.pdf", "--ca", "office.pem", "--pack", "pack.zip") == 2


def test_verify_prints_the_verdict_as_json(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    verify(signed, "sheet.pdf", "--json", "--ca", "office.pem")

    verdict = json.loads(capsys.readouterr().out)
    assert verdict["outcome"] == "genuine"
    assert [one["meaning"] for one in verdict["signers"]] == ["tested", "approved"]


@pytest.mark.parametrize(
    "words", [("none.pdf",), ("sheet.pdf", "--ca", "none.pem"), ("sheet.pdf", "--pack", "none")]
)
def test_verify_leaves_with_65_where_a_file_cannot_be_read(signed: Path, words: tuple[str, ...]) -> None:
    assert verify(signed, *words) == 65


def test_verify_leaves_with_65_for_a_certificate_that_is_none(
    signed: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert verify(signed, "sheet.pdf", "--ca", "sheet.pdf") == 65
    assert "no certificate" in capsys.readouterr().err


def test_verify_opens_a_store_for_reading(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from app.jobstore import Store

    store = Store.open(signed / "store.coreleaf")
    store.close()

    assert verify(signed, "store.coreleaf") == 2
    assert "Nothing in this store is signed yet." in capsys.readouterr().out


def test_verify_cannot_tell_of_a_store_that_is_none(signed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (signed / "store.coreleaf").write_bytes(b"SQLite format 3\x00" + bytes(200))

    assert verify(signed, "store.coreleaf") == 2
    assert capsys.readouterr().out.startswith("Cannot tell: ")


# job


def test_a_sheet_becomes_a_job_file_again(
    line_bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, again = tmp_path / "sheet.pdf", tmp_path / "again.json"
    assert commands.run(["sheet", str(line_bay), "--out", str(sheet), "--paper", "Letter"]) == 0
    assert commands.run(["job", str(sheet), "--out", str(again)]) == 0
    assert jobfile.load(again) == jobfile.load(line_bay)
    assert "readings" in capsys.readouterr().out


def test_a_sheet_is_judged_as_its_job_is(
    line_bay: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "sheet.pdf"
    commands.run(["sheet", str(line_bay), "--out", str(sheet)])
    capsys.readouterr()
    codes = [commands.run(["judge", str(path), "--json"]) for path in (line_bay, sheet)]
    of_file, of_sheet = capsys.readouterr().out.split("]\n[")
    assert codes == [1, 1]
    assert of_file.lstrip("[\n").rstrip() == of_sheet.rstrip("]\n ").lstrip("\n")


def test_a_signed_sheet_becomes_the_job_that_was_signed(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(revision_of().sheet)
    assert commands.run(["job", str(tmp_path / "sheet.pdf"), "--out", str(tmp_path / "job.json")]) == 0
    assert jobfile.load(tmp_path / "job.json") == revision_of().job


def test_a_sheet_is_not_overwritten_by_its_job(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(revision_of().sheet)
    assert commands.run(["job", str(tmp_path / "sheet.pdf"), "--out", str(tmp_path / "sheet.pdf")]) == 64
    assert (tmp_path / "sheet.pdf").read_bytes() == revision_of().sheet
