#!/bin/sh
# Every data file of nutrients/ against its JSON schema (draft-07), with a
# validator that is none of ours: python3-jsonschema of Debian.  Each faulty file
# of tests/broken/ that has a schema must be refused by the program's own loader
# (tests/unit/test_nutrients_broken.c); here only the good ones are read.
set -eu
python3=/usr/bin/python3
"$python3" - <<'PY'
import glob, json, os, sys
import jsonschema
bad = 0
for path in sorted(glob.glob("nutrients/*.json")):
    data = json.load(open(path, encoding="utf-8"))
    schema = os.path.join("nutrients", data.get("$schema", ""))
    if not os.path.isfile(schema):
        print(f"data: {path}: no schema {schema}", file=sys.stderr)
        bad = 1
        continue
    schema = json.load(open(schema, encoding="utf-8"))
    validator = jsonschema.validators.validator_for(schema)(schema)
    for e in validator.iter_errors(data):
        print(f"data: {path}: {'/'.join(map(str, e.path))}: {e.message[:200]}", file=sys.stderr)
        bad = 1
for path in sorted(glob.glob("examples/own-nutrients/*.json")):
    data = json.load(open(path, encoding="utf-8"))
    schema = json.load(open(os.path.join(os.path.dirname(path), data["$schema"]), encoding="utf-8"))
    for e in jsonschema.Draft7Validator(schema).iter_errors(data):
        print(f"data: {path}: {'/'.join(map(str, e.path))}: {e.message[:200]}", file=sys.stderr)
        bad = 1
garden = json.load(open("nutrients/schema/garden.schema.json", encoding="utf-8"))
gardens = glob.glob("examples/*.garden.json") + glob.glob("tests/command/season_*/**/*.garden.json", recursive=True)
for path in sorted(gardens):
    for e in jsonschema.Draft7Validator(garden).iter_errors(json.load(open(path, encoding="utf-8"))):
        print(f"data: {path}: {'/'.join(map(str, e.path))}: {e.message[:200]}", file=sys.stderr)
        bad = 1
# Which waters a garden file may hold, by the schema; the program is asked the same in test_job_season.c.
own = {"unit": "mg/L", "ions": {"Ca+2": 90, "HCO3-": 274}}
waters = [("soft", True), ("well.json", True), (own, True), (dict(own, name="well", air="open"), True), (5, False),
          ([], False), (dict(own, unit="g"), False), ({"unit": "mg/L"}, False), (dict(own, pH=7), False),
          (dict(own, ions={"Ca+2": -1}), False), ({"waters": [own]}, False)]
base = json.load(open("examples/terrace.garden.json", encoding="utf-8"))
for water, is_good in waters:
    if jsonschema.Draft7Validator(garden).is_valid(dict(base, water=water)) != is_good:
        print(f"data: garden.schema.json: water {water}: {'refused' if is_good else 'let through'}", file=sys.stderr)
        bad = 1
if bad == 0:
    print("data: every file of nutrients/ meets its schema")
sys.exit(bad)
PY
