"""The published JSON schema of a plan."""

from __future__ import annotations

from typing import Any

from .model import Plan


def plan_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of ``plait plan --format json``."""
    schema = Plan.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Plaitbook plan", **schema}
