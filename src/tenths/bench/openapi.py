"""The documentation of the API, written from the declarations of its calls: as OpenAPI 3.1 and as a page."""

from collections.abc import Iterable, Sequence
from typing import Any

import msgspec

from tenths import __version__
from tenths.bench.declare import Call, Query

REF = "#/components/schemas/{name}"
_TYPES = {str: "string", int: "integer", float: "number"}
_WHO = {"anyone": "Anyone.", "reader": "Anybody of the shop.", "hand": "Bench hands and owners.", "owner": "Owners."}


def document(calls: Sequence[Call]) -> dict[str, Any]:
    """The whole API as an OpenAPI document."""
    types = [t for call in calls for t in (call.body, call.answers) if t is not None]
    schemas, components = msgspec.json.schema_components([*types, Wrong], ref_template=REF)
    of = dict(zip(map(repr, [*types, Wrong]), schemas, strict=True))
    paths: dict[str, dict[str, Any]] = {}
    for call in calls:
        paths.setdefault(call.path, {})[call.method.lower()] = _operation(call, of)
    return {
        "openapi": "3.1.0",
        "info": {"title": "Tenths", "version": __version__,
                 "description": 'The bench of an engine shop. Errors are answered as {"error": sentence}: 401 when nobody '
                                "is signed in or the device is not paired, 403 when the role is not enough, 404, 409 when "
                                "the logbook refuses, 422 when what was sent cannot be understood."},
        "paths": paths, "components": {"schemas": components},
    }


class Wrong(msgspec.Struct, frozen=True):
    """What is wrong, in a sentence."""

    error: str


def _operation(call: Call, of: dict[str, Any]) -> dict[str, Any]:
    parameters = [*({"name": name, "in": "path", "required": True, "schema": {"type": "string"},
                     **({"example": call.example.path[name]} if call.example and name in call.example.path else {})}
                    for name in _in_braces(call.path)), *(_parameter(call, q) for q in call.query)]
    schema = of.get(repr(call.answers), {"type": "string", "format": "binary"})
    made: dict[str, Any] = {
        "summary": call.words.partition(". ")[0].rstrip(".") + ".", "description": f"{call.words}\n\n{_WHO[call.need]}",
        "tags": [call.section], "operationId": operation_id(call), "parameters": parameters,
        "responses": {"200": {"description": "The answer.", "content": {call.media: {"schema": schema}}},
                      "default": {"description": "What is wrong.", "content": {
                          "application/json": {"schema": of[repr(Wrong)]}}}},
    }
    if call.body is not None:
        content: dict[str, Any] = {"schema": of[repr(call.body)]}
        if call.example is not None:
            content["example"] = call.example.body
        made["requestBody"] = {"required": True, "content": {"application/json": content}}
    return made


def _parameter(call: Call, query: Query) -> dict[str, Any]:
    made: dict[str, Any] = {"name": query.name, "in": "query", "required": False, "description": query.words,
                            "schema": {"type": _TYPES[query.kind], "default": query.default}}
    if call.example is not None and query.name in call.example.query:
        made["example"] = query.read(call.example.query[query.name])
    return made


def _in_braces(path: str) -> list[str]:
    return [part.partition("}")[0].partition(":")[0] for part in path.split("{")[1:]]


def operation_id(call: Call) -> str:
    """A name for the call: its method and the words of its path."""
    words = [w for w in call.path.replace("{", " ").replace("}", " ").replace("/", " ").split() if w != "api"]
    return "-".join([call.method.lower(), *words])


def sections(calls: Iterable[Call]) -> list[dict[str, Any]]:
    """The calls by section, as the page shows them."""
    found: dict[str, list[dict[str, Any]]] = {}
    for call in calls:
        example = call.example
        found.setdefault(call.section, []).append({
            "id": operation_id(call), "method": call.method, "path": call.path, "words": call.words, "who": _WHO[call.need],
            "query": [{"name": q.name, "words": q.words, "kind": _TYPES[q.kind], "default": q.default} for q in call.query],
            "body": _fields(call.body), "answers": _fields(call.answers), "media": call.media,
            "example": None if example is None else {
                "url": _filled(call.path, example.path) + ("?" + "&".join(f"{k}={v}" for k, v in example.query.items())
                                                           if example.query else ""),
                "body": msgspec.json.format(msgspec.json.encode(example.body), indent=2).decode()
                if example.body is not None else ""}})
    return [{"section": name, "calls": rows} for name, rows in found.items()]


def _filled(path: str, values: Any) -> str:
    for name, value in values.items():
        path = path.replace("{" + name + "}", value)
    return path


def _fields(kind: Any) -> dict[str, Any] | None:
    """What a type is, for a reader: its words and fields."""
    if kind is None:
        return None
    inside = kind.__args__[0] if getattr(kind, "__origin__", None) is list else kind
    many = inside is not kind
    if not (isinstance(inside, type) and issubclass(inside, msgspec.Struct)):
        return {"words": "a list of objects" if many else "an object", "fields": []}
    rows = [{"name": f.name, "kind": str(getattr(f.type, "__name__", f.type)), "required": f.required}
            for f in msgspec.structs.fields(inside)]
    return {"words": ("a list of: " if many else "") + (inside.__doc__ or "").strip(), "fields": rows}
