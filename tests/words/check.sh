#!/bin/sh
# Every key that the sources mark with W("...") has one sentence, and every
# sentence is used: by a W(), by a key built in code (ghs., verdict., ...), or by
# the reports.
set -eu
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
sed -n 's/^BD_ENGLISH("\([^"]*\)".*/\1/p' src/words/english.def | sort > "$tmp/have"
grep -rhoE 'W\("[a-z][A-Za-z0-9_.]*"\)' src --include='*.c' | sed 's/W("//; s/")//' | sort -u > "$tmp/used"
sed -n 's/.*"sentence": *"\([^"]*\)".*/\1/p' nutrients/cautions.json >> "$tmp/used"
grep -rhoE '"[a-z]+\.[A-Za-z0-9_.]+"' src/report src/words --include='*.c' | tr -d '"' >> "$tmp/used"
sort -u -o "$tmp/used" "$tmp/used"
bad=0
uniq -d "$tmp/have" | sed 's/^/words: written twice: /' | grep . >&2 && bad=1
grep -rhoE 'W\("[a-z][A-Za-z0-9_.]*"\)' src --include='*.c' | sed 's/W("//; s/")//' | sort -u |
    comm -23 - "$tmp/have" | sed 's/^/words: no sentence for: /' | grep . >&2 && bad=1
sed -n 's/.*"sentence": *"\([^"]*\)".*/\1/p' nutrients/cautions.json | sort -u |
    comm -23 - "$tmp/have" | sed 's/^/words: no sentence for: /' | grep . >&2 && bad=1
grep -vE '^(ghs|verdict|group|level|report|heading|amount|unit)\.' "$tmp/have" | comm -23 - "$tmp/used" |
    sed 's/^/words: never used: /' | grep . >&2 && bad=1
grep -ohE '"code": *"H[0-9A-Z]+"' nutrients/*.json | sed 's/.*"\(H[^"]*\)"/ghs.\1/' | sort -u |
    comm -23 - "$tmp/have" | sed 's/^/words: no sentence for: /' | grep . >&2 && bad=1
[ $bad -eq 0 ] && echo "words: clean"
exit $bad
