#!/bin/sh
# Runs every job of this folder and checks that each ends as its file says.
set -u
here=$(dirname "$0")
: "${BAGDOSE:=build/bagdose}"
failed=0
for job in "$here"/*.job; do
    want=$(sed -n 's/^# ends in: //p' "$job")
    printf '\n======== bagdose @%s\n' "${job#"$here"/}"
    grep -E '^# ' "$job" | grep -v '^# ends in' | sed 's/^# /         /'
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
[ $failed -eq 0 ] && printf '\ndemo: every card ended as it should, the last one in a deliberate stop\n'
exit $failed
