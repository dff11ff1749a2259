"""The JSON Schema of a session file, made from the models that read it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

from pydantic.json_schema import GenerateJsonSchema

from engine.facts import Record
from store.chain import FORMAT

PUBLISHED: Final = Path(__file__).with_name("session.schema.json")
_DIGEST: Final = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


def schema_text() -> str:
    """The schema as it is published; the same text for the same models."""
    return json.dumps(session_schema(), indent=1, ensure_ascii=False) + "\n"


def session_schema() -> dict[str, Any]:
    """Of the whole document: the heading, the records with their digests, the head."""
    record = Record.model_json_schema(ref_template="#/$defs/{model}", mode="serialization")
    parts = record.pop("$defs")
    record["properties"] = {"digest": _DIGEST, **record["properties"]}
    record["required"] = ["digest", *record["required"]]
    return {
        "$comment": f"JSON Schema, dialect {GenerateJsonSchema.schema_dialect.split('/')[-2]}",
        "title": "A session of holdwater",
        "description": "Each record carries the SHA-256 digest of everything before it, the "
        "heading first; `head` is the digest of the last line. Quantities are [value, unit].",
        "type": "object",
        "properties": {
            "holdwater": {"const": FORMAT},
            "session": {"type": "string", "pattern": "^[a-z0-9][a-z0-9-]{0,63}$"},
            "records": {"type": "array", "items": {"$ref": "#/$defs/Record"}, "minItems": 1},
            "head": _DIGEST,
        },
        "required": ["holdwater", "session", "records", "head"],
        "additionalProperties": False,
        "$defs": {"Record": record, **parts},
    }
