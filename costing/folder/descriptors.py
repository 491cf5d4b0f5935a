"""The tables of a season as Frictionless descriptors (Data Package and Table Schema, version 1), for other programs."""

from __future__ import annotations

from typing import Any

from costing.fields.types import NumberField
from costing.records.schema import RECORD_TABLES, RecordTable

_TYPES = {"number": "number", "percent": "number", "date": "date"}


def package() -> dict[str, Any]:
    """Return a Data Package descriptor with one resource for each table."""
    return {
        "profile": "tabular-data-package",
        "name": "costing-season",
        "title": "The records of one season of a small soap maker",
        "resources": [_resource(table) for table in RECORD_TABLES],
    }


def _resource(table: RecordTable) -> dict[str, Any]:
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "path": f"{table.name}.csv",
        "description": table.about,
        "schema": _settings(table) if table.name == "season" else _schema(table),
    }


def _settings(table: RecordTable) -> dict[str, Any]:
    """Settings stand in rows of key and value, so the keys are the values that the key column may take."""
    fields = table.model.model_fields
    notes = " ".join(f"{key}: {info.description}" for key, info in fields.items())
    return {
        "fields": [
            {"name": "key", "type": "string", "constraints": {"required": True, "unique": True, "enum": list(fields)}},
            {"name": "value", "type": "string", "description": notes},
        ],
        "primaryKey": "key",
    }


def _schema(table: RecordTable) -> dict[str, Any]:
    schema: dict[str, Any] = {"fields": [_field(table, key) for key in table.model.model_fields], "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = list(table.key)
    references = [_reference(key, info.json_schema_extra) for key, info in table.model.model_fields.items()]
    if found := [reference for reference in references if reference]:
        schema["foreignKeys"] = found
    return schema


def _field(table: RecordTable, key: str) -> dict[str, Any]:
    info = table.model.model_fields[key]
    reader = info.metadata[0]
    field: dict[str, Any] = {
        "name": key,
        "title": info.title,
        "description": info.description,
        "type": _TYPES.get(reader.shape, "string"),
    }
    constraints: dict[str, Any] = {"required": True} if info.is_required() else {}
    if choices := [word for word in getattr(reader, "choices", ()) if word]:
        constraints["enum"] = choices
    if isinstance(reader, NumberField):
        low = reader.least if reader.above is None else reader.above
        constraints |= {name: bound for name, bound in (("minimum", low), ("maximum", reader.most)) if bound is not None}
        field["unit"] = "%" if reader.shape == "percent" else reader.unit
    return field | ({"constraints": constraints} if constraints else {})


def _reference(key: str, extra: Any) -> dict[str, Any] | None:
    """Return the foreign key of a column that names rows of another table by their whole key."""
    table, _, column = str(extra["refers"]).partition(".")
    target = next((each for each in RECORD_TABLES if each.name == table), None)
    if target is None or target.key != (column,):
        return None
    return {"fields": key, "reference": {"resource": table, "fields": column}}
