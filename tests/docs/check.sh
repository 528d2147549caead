#!/bin/sh
# What the reader is told is run: worked lines of help and README, options that
# are documented, cautions that SAFETY.md repeats.
set -u
: "${BAGDOSE:=$PWD/build/bagdose}"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
ln -s "$PWD/examples" "$scratch/examples"
bad=0
complain() { echo "docs: $*" >&2; bad=1; }

# Every job's worked line runs and ends in a card (exit 0 or 1); `record` writes a file.
for job in $(sed -n 's/^BD_JOB([A-Z_]*, "\([a-z]*\)".*/\1/p' src/request/job.def); do
    "$BAGDOSE" help "$job" > /dev/null || complain "no help for $job"
    grep -q "\`$job\`" README.md || complain "README.md does not name the job $job"
    line=$("$BAGDOSE" help "$job" | sed -n '/^For example/,/^$/p' | sed '1d; s/\\$//' | tr -d '\n')
    line=$(printf '%s' "$line" | sed "s|^ *bagdose|$BAGDOSE|")
    (cd "$scratch" && sh -c "$line") > /dev/null
    [ $? -le 1 ] || complain "the worked line of $job fails: $line"
done

# Every option has a help line that some job shows.
for option in $(sed -n 's/^BD_OPTION([A-Z_0-9]*, "\([a-z0-9-]*\)".*/\1/p' src/request/option.def); do
    { "$BAGDOSE" help; for j in $(sed -n 's/^BD_JOB([A-Z_]*, "\([a-z]*\)".*/\1/p' src/request/job.def); do
        "$BAGDOSE" help "$j"; done; } | grep -q -- "--$option" || complain "--$option is in no help screen"
done

# The first lines of README's example are what the command prints.
expected=$(sed -n '/^Side-dressing of/,/^```/p' README.md | grep -v '^```')
printed=$("$BAGDOSE" @examples/04-side-dress-the-beetroot.job | head -n "$(printf '%s\n' "$expected" | wc -l)")
[ "$expected" = "$printed" ] || complain "README.md shows another card than the program prints"

# So is the list of bags of several kinds, from the command that stands above it.
expected=$(sed -n '/^Which bags get how much/,/^```/p' README.md | grep -v '^```')
run=$(sed -n 's|^<!-- run: build/bagdose \(sidedress .*\) -->$|\1|p' README.md)
printed=$(sh -c "\"$BAGDOSE\" $run" | sed -n '/^Which bags get how much/,/^$/p')
[ "$expected" = "$printed" ] || complain "README.md shows another list of bags than the program prints"

# Every caution stands in SAFETY.md, word for word, with its source and trust.
/usr/bin/python3 - <<'PY' || bad=1
import json, re, sys
words = dict(re.findall(r'^BD_ENGLISH\("([^"]+)", "(.*)"\)$', open("src/words/english.def").read(), re.M))
safety = open("SAFETY.md").read()
bad = 0
for rule in json.load(open("nutrients/cautions.json"))["cautions"]:
    if rule["when"] == "rule":
        continue
    text = words[rule["sentence"]].replace('\\"', '"')
    source = rule.get("source")
    trust = source + ", " + rule["status"] if source else rule["status"] + ", no source"
    row = next((line for line in safety.splitlines() if line.startswith("| %s |" % rule["code"])), "")
    if text not in row or not row.endswith("| %s |" % trust):
        print("docs: SAFETY.md lacks", rule["code"], text[:60], "with its source", trust, file=sys.stderr)
        bad = 1
sys.exit(bad)
PY
[ $bad -eq 0 ] && echo "docs: worked lines run, options and cautions are documented"
exit $bad
