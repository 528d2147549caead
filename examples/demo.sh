#!/bin/sh
# Runs every job of this folder and checks that each ends as its file says; then
# keeps a record of one dressing.  Start it from the folder above.
set -u
here=$(dirname "$0")
: "${BAGDOSE:=build/bagdose}"
failed=0

for job in "$here"/*.job; do
    want=$(sed -n 's/^# ends in: //p' "$job")
    printf '\n======== bagdose @%s\n' "$job"
    grep -E '^# ' "$job" | grep -v '^# ends in' | sed 's/^# //' | fold -s -w 70 | sed 's/^/         /'
    printf '\n'
    "$BAGDOSE" "@$job"
    status=$?
    case $status in
    0) got=$("$BAGDOSE" "@$job" --format json | sed -n 's/^ *"verdict": *"\([a-z]*\)".*/\1/p') ;;
    1) got=stop ;;
    *) got="an error" ;;
    esac
    if [ "$got" != "$want" ]; then
        echo "demo: ${job##*/} ended in $got and not in $want" >&2
        failed=1
    fi
done

# What was given is written down, and what may still be given is asked.
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
record="$scratch/terrace.record.jsonl"
printf '\n======== bagdose record add, then bagdose record left\n\n'
"$BAGDOSE" record add --record "$record" --group beetroot-sacks --bags 18 --date 2026-05-18 \
    --material potassium-sulfate --analysis 0-0-50 --product-per-bag 1.2g --use sidedress --who Ana || failed=1
"$BAGDOSE" record left --record "$record" --group beetroot-sacks --date 2026-05-25 --need "K2O 3 g/bag" || failed=1

[ $failed -eq 0 ] && printf '\ndemo: every card ended as it should, one of them in a deliberate stop\n'
exit $failed
