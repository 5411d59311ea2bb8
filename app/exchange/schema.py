"""The job file's strict models and its published JSON Schema, both made from the dataclasses of `ctcore.job`.

The dataclasses are the one source: a field added there is in models and schema without another line.
"""

from __future__ import annotations

import dataclasses
import functools
import json
import sys
import types
from typing import Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel, ConfigDict, ValidationError, create_model

from ctcore.errors import BadInput
from ctcore.job import FORMAT_VERSION, Job

FORMAT_NAME: Final = "coreleaf-job"

_STRICT: Final = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)

# Format: the reasons in our own words; what is not listed keeps pydantic's.
_REASONS: Final = {
    "missing": "is missing",
    "extra_forbidden": "unknown name",
    "string_type": "text is wanted here",
    "float_type": "a number is wanted here",
    "int_type": "a whole number is wanted here",
    "int_from_float": "a whole number is wanted here",
    "bool_type": "true or false is wanted here",
    "finite_number": "a finite number is wanted here",
    "model_type": "a group of named values is wanted here",
    "tuple_type": "a list is wanted here",
}


@functools.cache
def model_of(kind: type) -> type[BaseModel]:
    """The strict model of one dataclass, with those of its fields."""
    hints = get_type_hints(kind)
    fields = {entry.name: (_hint(hints[entry.name]), _default(entry)) for entry in dataclasses.fields(kind)}
    return _create(kind.__name__, (kind.__doc__ or "").strip(), fields)


@functools.cache
def file_model() -> type[BaseModel]:
    """The model of a whole job file: its two marks, then the fields of the job."""
    job = model_of(Job)
    fields: dict[str, Any] = {
        "format": (Literal[FORMAT_NAME], ...),
        "version": (Literal[FORMAT_VERSION], ...),
    }
    for name, entry in job.model_fields.items():
        fields[name] = (entry.annotation, entry)
    return _create("JobFile", f"A Coreleaf job file, version {FORMAT_VERSION}.", fields)


def schema() -> dict[str, Any]:
    """The JSON Schema that is published as `resources/job_file.schema.json`.

    `python -m app.exchange.schema > resources/job_file.schema.json` publishes it again.
    """
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **file_model().model_json_schema()}


def check(data: bytes) -> None:
    """Refuse the first value that has not the type its place asks for; `BadInput` names the place."""
    try:
        file_model().model_validate_json(data)
    except ValidationError as problem:
        first = problem.errors(include_url=False)[0]
        reason = _reason(first["type"], first["msg"], first.get("ctx", {}))
        value = None if first["type"] in ("missing", "extra_forbidden") else first["input"]
        raise BadInput(_place(first["loc"]), value, reason) from None


def _reason(kind: str, message: str, context: dict[str, Any]) -> str:
    if kind == "literal_error":
        return f"{context['expected']} is wanted here"
    return _REASONS.get(kind, message[:1].lower() + message[1:])


def _create(name: str, doc: str, fields: dict[str, Any]) -> type[BaseModel]:
    made: type[BaseModel] = create_model(name, __config__=_STRICT, __doc__=doc, **fields)
    return made


def _hint(hint: Any) -> Any:
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return Union[tuple(_hint(entry) for entry in get_args(hint))]  # noqa: UP007 - made at run time
    if origin is tuple:
        return types.GenericAlias(tuple, (_hint(get_args(hint)[0]), ...))
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return model_of(hint)
    return hint


def _default(entry: dataclasses.Field[Any]) -> Any:
    if entry.default is not dataclasses.MISSING:
        return entry.default
    if entry.default_factory is not dataclasses.MISSING:
        return model_of(type(entry.default_factory()))()  # type: ignore[arg-type] # a type is hashable
    return ...


def _place(location: tuple[int | str, ...]) -> str:
    return "job" + "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in location)


if __name__ == "__main__":
    sys.stdout.write(json.dumps(schema(), indent=1, ensure_ascii=False) + "\n")
