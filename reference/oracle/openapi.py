"""Reads the description of the interface for other programs as a validator of others does, and its example against it.

Usage: openapi.py crates/web/assets/openapi.json
"""

import json
import sys

from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator


def main(path):
    with open(path, encoding="utf-8") as file:
        told = json.load(file)
    faults = [f"{'/'.join(map(str, error.absolute_path))}: {error.message}" for error in OpenAPIV31SpecValidator(told).iter_errors()]
    examples = 0
    for address, operations in told["paths"].items():
        for method, operation in operations.items():
            content = operation.get("requestBody", {}).get("content", {})
            for kind, sent in content.items():
                # References in a schema lead into the whole description.
                schema = {**sent["schema"], "components": told["components"]}
                found = Draft202012Validator(schema).iter_errors(sent["example"])
                faults += [f"{method} {address}, example of {kind}: {error.message}" for error in found]
                examples += 1
    for fault in faults:
        print(fault)
    print(f"{len(told['paths'])} addresses, {examples} example, {len(faults)} faults")
    return 1 if faults or not examples else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
