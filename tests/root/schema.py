"""Holds JSON documents against a schema of JSON Schema 2020-12 with the library jsonschema. Usage: schema.py SCHEMA FILE...
Prints `FILE: good`, or `FILE: ` and where and what is wrong, a line each."""
import json
import sys
from jsonschema import Draft202012Validator

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
for path in sys.argv[2:]:
    with open(path, encoding="utf-8") as file:
        faults = sorted(validator.iter_errors(json.load(file)), key=lambda fault: fault.json_path)
    for fault in faults:
        print(f"{path}: {fault.json_path}: {fault.message[:200]}")
    if not faults:
        print(f"{path}: good")
