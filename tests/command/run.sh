#!/bin/sh
# run.sh - the command against what it must print, one folder a case.
#
#   run    a line of shell that uses "$BAGDOSE"; it is run inside the folder
#   out    standard output, to the byte; no file: nothing
#   err    one extended regular expression for each line of standard error, in
#          order; no file: nothing
#   exit   the exit status; no file: 0
#
#   run.sh [--rewrite] [CASE...]
#
# --rewrite writes `out` afresh where all else is right; read its difference like
# code.  These cases test the command, not the arithmetic.

: "${BAGDOSE:?is not set: it names the program to be tested}"
export BAGDOSE
NO_COLOR=1
LC_ALL=C
export NO_COLOR LC_ALL
unset CDPATH

here=$(cd "$(dirname "$0")" && pwd) || exit 1
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
trap 'exit 1' HUP INT TERM

rewrite=no
if [ "${1:-}" = --rewrite ]; then
    rewrite=yes
    shift
fi

wanted() { # a file of the case, or nothing when there is none
    if [ -f "$1" ]; then cat "$1"; fi
}

# Each pattern against its own line, and as many lines as patterns.
check_err() {
    lines=$(wc -l <"$scratch/err")
    patterns=$(wanted err | wc -l)
    [ "$lines" -eq "$patterns" ] || return 1
    n=0
    wanted err >"$scratch/patterns"
    while IFS= read -r pattern; do
        n=$((n + 1))
        sed -n "${n}p" "$scratch/err" | grep -Eq -e "$pattern" || return 1
    done <"$scratch/patterns"
}

tell() { # one line of trouble, then the evidence
    echo "FAIL $name: $1"
    sed 's/^/    /' "$2"
    failed=$((failed + 1))
}

check_case() {
    sh ./run >"$scratch/out" 2>"$scratch/err" </dev/null
    status=$?
    expected=$(wanted exit)
    wanted out >"$scratch/want"
    if [ "$status" -ne "${expected:-0}" ]; then
        tell "exit status $status, wanted ${expected:-0}" "$scratch/err"
    elif ! check_err; then
        tell "standard error is not as it should be" "$scratch/err"
    elif [ "$rewrite" = yes ]; then
        if [ -s "$scratch/out" ]; then cp "$scratch/out" out; else rm -f out; fi
    elif ! diff -u "$scratch/want" "$scratch/out" >"$scratch/diff"; then
        tell "standard output differs" "$scratch/diff"
    fi
}

count=0
failed=0
[ $# -gt 0 ] || set -- "$here"/*/
for folder in "$@"; do
    case $folder in
    /*) ;;
    *) folder=$here/$folder ;;
    esac
    name=$(basename "$folder")
    if [ ! -f "$folder/run" ]; then
        echo "FAIL $name: there is no case of that name"
        failed=$((failed + 1))
        continue
    fi
    count=$((count + 1))
    cd "$folder" || exit 1
    check_case
done
echo "command: $count cases, $failed failed"
[ "$count" -gt 0 ] && [ "$failed" -eq 0 ]
