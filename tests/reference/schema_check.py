#!/usr/bin/env python3
"""Holds schema/*.json and the demo specs to a second implementation of JSON Schema 2020-12.

Python jsonschema (see requirements-schema.txt) with PyYAML's core scalars switched to YAML 1.2: `yes`, `no`, `on` and
`off` stay text. Prints what does not fit and exits 1; prints one line and exits 0 otherwise.
usage: python tests/reference/schema_check.py
"""
import json
import pathlib
import re
import sys

import yaml
from jsonschema import Draft202012Validator

ROOT = pathlib.Path(__file__).resolve().parents[2]


class Core(yaml.SafeLoader):
    """YAML 1.2.2 core schema (10.3.2) on top of PyYAML's parser."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in [
    ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", "tTfF"),
    ("int", r"^(?:[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+)$", "-+0123456789"),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "-+.0123456789"),
    ("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
    ("merge", r"^(?:<<)$", "<"),
]:
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


def main() -> int:
    amiss = []
    schemas = {}
    for path in sorted((ROOT / "schema").glob("*.json")):
        schemas[path.name] = json.loads(path.read_text())
        Draft202012Validator.check_schema(schemas[path.name])
    validator = Draft202012Validator(schemas["rig.schema.json"])
    count = 0
    for path in sorted((ROOT / "specs").glob("*.yaml")):
        for document in yaml.load_all(path.read_text(), Loader=Core):
            if not isinstance(document, dict) or "rigproof" not in document:
                continue
            count += 1
            for error in validator.iter_errors(document):
                amiss.append(f"{path.name}: {'.'.join(map(str, error.absolute_path))}: {error.message}")
    wrong = yaml.load((ROOT / "tests/golden/three-mistakes.yaml").read_text(), Loader=Core)
    found = {".".join(map(str, error.absolute_path)) for error in validator.iter_errors(wrong)}
    # A quantity without its unit counts once a use; an unknown key is told at what holds it.
    if found != {"parts.washer", "parts.supply.kind", "parts.front-tank.capacity", "parts.rear-tank.capacity"}:
        amiss.append(f"three-mistakes.yaml: found {sorted(found)}")
    print("\n".join(amiss) if amiss else f"{len(schemas)} schemas, {count} specs: as they should be")
    return 1 if amiss else 0


if __name__ == "__main__":
    sys.exit(main())
