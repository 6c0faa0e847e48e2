#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Checks a JSON document against a JSON Schema: check_schema.py DOCUMENT SCHEMA

Schemas name one another by file name; they stand in one folder.
"""
import json
import pathlib
import sys
import warnings

import jsonschema

warnings.simplefilter("ignore")
schema_path = pathlib.Path(sys.argv[2]).resolve()
schema = json.loads(schema_path.read_text())
resolver = jsonschema.RefResolver(schema_path.as_uri(), schema)
validator = jsonschema.Draft7Validator(schema, resolver=resolver)
validator.check_schema(schema)


def causes(error):
    """The innermost faults: 'not valid under any of the given schemas' tells nothing."""
    for inner in error.context or []:
        if inner.validator != "type" or inner.instance is not error.instance:
            yield from causes(inner)
    if not error.context:
        yield error


errors = list(validator.iter_errors(json.loads(pathlib.Path(sys.argv[1]).read_text())))
for error in [cause for error in errors for cause in causes(error)][:10]:
    print("/".join(map(str, error.absolute_path)), error.message[:300])
sys.exit(1 if errors else 0)
