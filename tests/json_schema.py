"""The part of JSON Schema that the published schema uses, checked by hand."""

from __future__ import annotations

import re
from typing import Any

_TYPES: dict[str, Any] = {"object": dict, "array": list, "string": str, "number": (int, float),
                          "integer": int, "boolean": bool, "null": type(None)}  # fmt: skip


def faults(value: Any, schema: dict[str, Any], whole: dict[str, Any] | None = None, at: str = ""
           ) -> list[str]:  # fmt: skip
    """Where a value breaks a schema; empty where it keeps to it."""
    whole = whole or schema
    if "$ref" in schema:
        return faults(value, whole["$defs"][schema["$ref"].rpartition("/")[2]], whole, at)
    for key in ("oneOf", "anyOf"):
        if key in schema and all(faults(value, one, whole, at) for one in schema[key]):
            return [f"{at}: fits none"]
    kind = schema.get("type")
    if kind and (not isinstance(value, _TYPES[kind]) or (kind != "boolean" and value is True)):
        return [f"{at}: not of type {kind}"]
    return [*_of_a_value(value, schema, at), *_inside(value, schema, whole, at)]


def _of_a_value(value: Any, schema: dict[str, Any], at: str) -> list[str]:
    found = []
    if "const" in schema and value != schema["const"]:
        found.append(f"{at}: not {schema['const']}")
    if "enum" in schema and value not in schema["enum"]:
        found.append(f"{at}: none of {schema['enum']}")
    if isinstance(value, str):
        fits = re.search(schema.get("pattern", ""), value) and len(value) >= schema.get(
            "minLength", 0
        )
        if not fits or len(value) > schema.get("maxLength", len(value)):
            found.append(f"{at}: not such a text")
    if isinstance(value, float | int) and value < schema.get("minimum", value):
        found.append(f"{at}: too small")
    return found


def _inside(value: Any, schema: dict[str, Any], whole: dict[str, Any], at: str) -> list[str]:
    found = []
    if isinstance(value, dict):
        known = schema.get("properties", {})
        found += [f"{at}: without {key}" for key in schema.get("required", []) if key not in value]
        if schema.get("additionalProperties") is False:
            found += [f"{at}: {key} is unknown" for key in value if key not in known]
        for key in value.keys() & known.keys():
            found += faults(value[key], known[key], whole, f"{at}/{key}")
    if isinstance(value, list):
        if len(value) < schema.get("minItems", 0):
            found.append(f"{at}: too few")
        kinds = schema.get("prefixItems") or [schema.get("items") or {}] * len(value)
        for n, (item, kind) in enumerate(zip(value, kinds, strict=False)):
            found += faults(item, kind, whole, f"{at}/{n}")
    return found
