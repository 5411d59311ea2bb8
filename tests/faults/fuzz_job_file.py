"""Spoiled job files: each is taken as a whole job or refused in one sentence, and nothing else happens.

A file that is taken reads back as the same job and can be judged. A file spoiled so that it must be refused
(cut off, a name twice, NaN, a newer version, an id that leads nowhere) is refused. The control is a loader
without the pass that looks for doubled names; the suite has to catch it.
Run: `python -m tests.faults.fuzz_job_file [long]`.
"""

from __future__ import annotations

import copy
import json
import random
import sys
from collections.abc import Callable, Iterator
from typing import Any

from app.exchange import coherence, jobfile, schema
from app.exchange.problem import JobFileProblem
from ctcore import job as model
from ctcore.errors import BadInput
from ctcore.job import Job
from ctcore.judge import judge
from samples import SAMPLES

SHORT_COUNT = 2_000
LONG_COUNT = 100_000
CONTROL_COUNT = 300

Loader = Callable[[bytes], Job]
Plain = dict[str, Any]
Case = tuple[bytes, bool]  # the bytes, and whether they must be refused

ODD_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 10**17, -0.0, 1e300, 5e-324, "", " ", "method", "1", "NaN", "1e999",
    "\u2212 5", "\u200b", "a" * 5000, [], {}, [[]], [None], {"a": 1}, "full",
    "L1-core-1", "r_measured_ohm", "excitation",
)  # fmt: skip
ODD_BYTES = (
    b"NaN",
    b"Infinity",
    b"1e999",
    b"9" * 400,
    b'"\\u0000"',
    b'"\\ud800"',
    b"[" * 2000,
    b"\xff",
    b"//",
    b"'",
)


def run(long: bool) -> dict[str, Any]:
    """Counts of the suite: cases, failures, and whether the weakened loader was caught."""
    return {
        "name": "fuzz_job_file",
        "cases": LONG_COUNT if long else SHORT_COUNT,
        "failed": sum(1 for _ in failures(jobfile.read, LONG_COUNT if long else SHORT_COUNT)),
        "control_caught": any(True for _ in failures(_without_doubled_names, CONTROL_COUNT)),
    }


def failures(load: Loader, count: int, seed: int = 61869) -> Iterator[str]:
    """A line per case in which something other than taking or refusing happened."""
    chance = random.Random(seed)
    stock = [made for sample in SAMPLES for made in _smaller(json.loads(sample.file.read_bytes()))]
    for number in range(count):
        spoil = chance.choice(SPOILERS)
        data, must_be_refused = spoil(copy.deepcopy(chance.choice(stock)), chance)
        wrong = _wrong(load, data, must_be_refused)
        if wrong:
            yield f"case {number}, {spoil.__name__}: {wrong}"


def _wrong(load: Loader, data: bytes, must_be_refused: bool) -> str | None:
    try:
        job = load(data)
    except BadInput as refusal:
        sentence = refusal.sentence if isinstance(refusal, JobFileProblem) else str(refusal)
        return None if sentence.isprintable() and len(sentence) < 2000 else "the sentence is no line"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    if must_be_refused:
        return "was taken"
    try:
        if load(jobfile.to_bytes(job)) != job:
            return "reads back as another job"
        judge(job)
    except Exception as error:
        return f"after it was taken: {type(error).__name__}: {error}"
    return None


def _without_doubled_names(data: bytes) -> Job:
    """The control: every check but the one for names that stand twice."""
    try:
        plain = json.loads(data)
        schema.check(data)
        job = model.from_plain(plain)
    except (ValueError, RecursionError) as problem:
        raise BadInput("job", None, "refused") from problem
    for place, value, reason in coherence.faults(job):
        raise BadInput(place, value, reason)
    return job


def _smaller(plain: Plain) -> list[Plain]:
    """A sample with the readings of one core alone, for each core of its first transformer."""
    cores = plain["positions"][0]["cts"][0]["cores"]
    return [
        {**plain, "readings": [one for one in plain["readings"] if one["core_id"] == core["core_id"]]}
        for core in cores
    ]


def _bytes(plain: Any) -> bytes:
    return json.dumps(plain, ensure_ascii=False).encode()


# Places in a structure


def _groups(value: Any) -> list[Plain]:
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return ([value] if isinstance(value, dict) and value else []) + [
        one for each in inner for one in _groups(each)
    ]


def _place(plain: Plain, chance: random.Random) -> tuple[Plain, str]:
    # The many readings would hide the rest: first the kind of thing is chosen, then one of it.
    part = chance.choice([plain, *[value for value in plain.values() if isinstance(value, dict | list)]])
    group = chance.choice(_groups(part) or [plain])
    return group, chance.choice(list(group))


# Ways to spoil


def unspoiled(plain: Plain, chance: random.Random) -> Case:
    return _bytes(plain), False


def cut_off(plain: Plain, chance: random.Random) -> Case:
    data = _bytes(plain)
    return data[: chance.randrange(len(data) - 1)], True


def name_twice(plain: Plain, chance: random.Random) -> Case:
    group, name = _place(plain, chance)
    again = json.dumps(name) + ": " + json.dumps(group[name], ensure_ascii=False)
    group["\u0001mark"] = 0
    return _bytes(plain).replace(b'"\\u0001mark": 0', again.encode()), True


def newer_version(plain: Plain, chance: random.Random) -> Case:
    plain["version"] = chance.randrange(2, 1000)
    plain["chapters"] = []
    return _bytes(plain), True


def not_a_number(plain: Plain, chance: random.Random) -> Case:
    group, name = _place(plain, chance)
    group[name] = chance.choice([float("nan"), float("inf"), float("-inf")])
    return _bytes(plain), True


def unknown_name(plain: Plain, chance: random.Random) -> Case:
    group, _ = _place(plain, chance)
    group["colour"] = "red"
    return _bytes(plain), True


def lost_name(plain: Plain, chance: random.Random) -> Case:
    group, name = _place(plain, chance)
    del group[name]
    return _bytes(plain), False


def odd_value(plain: Plain, chance: random.Random) -> Case:
    for _ in range(chance.randrange(1, 4)):
        group, name = _place(plain, chance)
        group[name] = copy.deepcopy(chance.choice(ODD_VALUES))
    return _bytes(plain), False


def scaled_number(plain: Plain, chance: random.Random) -> Case:
    for _ in range(chance.randrange(1, 6)):
        reading = chance.choice(plain["readings"])
        reading["value_text"] = repr(chance.choice([0.0, 1e-12, 1e-3, 0.1, 1.0, 7.0, 1e3, 1e9, -1.0]))
    return _bytes(plain), False


def plate_number(plain: Plain, chance: random.Random) -> Case:
    groups = [
        group
        for group in _groups(plain["positions"])
        if any(isinstance(v, float | int) for v in group.values())
    ]
    group = chance.choice(groups)
    name = chance.choice([name for name, value in group.items() if isinstance(value, float | int)])
    group[name] = chance.choice([1e-300, 1e-6, 0.5, 1.0, 3.0, 1e6, 1e300])
    return _bytes(plain), False


def class_text(plain: Plain, chance: random.Random) -> Case:
    cores = [group for group in _groups(plain["positions"]) if "class_text" in group]
    texts = (
        "",
        "5P20",
        "PX",
        "PX Ek 0 V Ie 0 A Rct 0 ohm",
        "0.5",
        "C",
        "C800",
        "TPY Kssc 20",
        "0.3 B-0.5",
        "K200",
        "?",
    )
    chance.choice(cores)["class_text"] = chance.choice(texts)
    return _bytes(plain), False


def shuffled_readings(plain: Plain, chance: random.Random) -> Case:
    texts = [reading["value_text"] for reading in plain["readings"]]
    chance.shuffle(texts)
    for reading, text in zip(plain["readings"], texts, strict=True):
        reading["value_text"] = text
    return _bytes(plain), False


def leads_nowhere(plain: Plain, chance: random.Random) -> Case:
    reading = chance.choice(plain["readings"])
    reading[chance.choice(["core_id", "procedure_id", "quantity_id", "supersedes_id", "instrument_id"])] = (
        "nowhere"
    )
    return _bytes(plain), True


def same_id_twice(plain: Plain, chance: random.Random) -> Case:
    lists = [plain[name] for name in ("readings", "instruments", "people", "positions") if plain[name]]
    chosen = chance.choice(lists)
    chosen.append(copy.deepcopy(chance.choice(chosen)))
    return _bytes(plain), True


def other_encoding(plain: Plain, chance: random.Random) -> Case:
    text = json.dumps(plain, ensure_ascii=False)
    return text.encode(chance.choice(["utf-16", "utf-16-le", "utf-32", "utf-8-sig"])), True


def other_bytes(plain: Plain, chance: random.Random) -> Case:
    data = bytearray(_bytes(plain))
    for _ in range(chance.randrange(1, 5)):
        at = chance.randrange(len(data))
        kind = chance.randrange(4)
        if kind == 0:
            data[at] ^= 1 << chance.randrange(8)
        elif kind == 1:
            del data[at : at + chance.randrange(1, 40)]
        elif kind == 2:
            data[at:at] = data[at : at + chance.randrange(1, 40)]
        else:
            data[at:at] = chance.choice(ODD_BYTES)
    return bytes(data), False


def nothing_like_it(plain: Plain, chance: random.Random) -> Case:
    made = (b"", b"null", b"[]", b"{}", b"{" * 5000, b"\x00" * 100, b"[" * 200_000, chance.randbytes(300))
    return chance.choice(made), True


SPOILERS: tuple[Callable[[Plain, random.Random], Case], ...] = (
    unspoiled, cut_off, name_twice, newer_version, not_a_number, unknown_name, lost_name, odd_value,
    scaled_number, plate_number, class_text, shuffled_readings, leads_nowhere, same_id_twice, other_encoding,
    other_bytes, nothing_like_it,
)  # fmt: skip


if __name__ == "__main__":
    for line in failures(jobfile.read, LONG_COUNT if "long" in sys.argv[1:] else SHORT_COUNT):
        print(line)
