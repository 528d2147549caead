#!/bin/sh
# `record add` killed at random points, and with its writes and syncs failing:
# nothing confirmed may be lost, nothing half-written may be read.
#
# kill.sh COUNT [SEED]; BAGDOSE names the command, CC the compiler.
set -eu
count=${1:-50}
seed=${2:-1}
command=${BAGDOSE:-build/bagdose}
here=$(dirname "$0")
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
flags="-std=c11 -D_DEFAULT_SOURCE -Wall -Wextra -O1"
${CC:-cc} $flags -fPIC -shared -o "$tmp/interpose.so" "$here/interpose.c" -ldl
${CC:-cc} $flags -Isrc -o "$tmp/driver" "$here/driver.c" src/base/*.c src/record/*.c \
    src/quantity/nutrient.c src/words/utf8.c -ljansson -lm
mkdir "$tmp/folder"
"$tmp/driver" "$command" "$tmp/interpose.so" "$tmp/folder" "$count" "$seed"
# What was written meets its schema, says a validator that is none of ours.
/usr/bin/python3 - "$tmp/folder/killed.record.jsonl" <<'PY'
import json, sys
import jsonschema
schema = json.load(open("nutrients/schema/record.schema.json", encoding="utf-8"))
jsonschema.Draft7Validator.check_schema(schema)
validator = jsonschema.Draft7Validator(schema)
lines = open(sys.argv[1], "rb").read().split(b"\n")[:-1]
bad = 0
for n, line in enumerate(lines, 1):
    try:
        entry = json.loads(line)
    except ValueError:
        if n == len(lines):
            continue  # a torn end, left by the last run
        raise
    for e in validator.iter_errors(entry):
        print(f"kill: line {n}: {e.message[:200]}", file=sys.stderr)
        bad = 1
print(f"kill: {len(lines)} lines meet the schema" if not bad else "kill: the schema is not met")
sys.exit(bad)
PY
