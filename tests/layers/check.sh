#!/bin/sh
# A folder of src/ includes only folders before it; two are narrower still, and
# some headers have no business in some places.
set -eu
order="base quantity nutrients model card words guard request record job report command"
bad=0
complain() { echo "layers: $*" >&2; bad=1; }
for dir in $order; do
    allowed=""
    for d in $order; do allowed="$allowed $d"; [ "$d" = "$dir" ] && break; done
    case $dir in
    card) allowed="base card" ;;
    words) allowed="base card words" ;;
    report) allowed="base card words report" ;;
    esac
    for file in src/$dir/*.[ch] src/$dir/*.def; do
        [ -e "$file" ] || continue
        for used in $(sed -n 's|^ *#include "\([a-z_]*\)/.*|\1|p' "$file" | sort -u); do
            case " $allowed " in *" $used "*) ;; *) complain "$file includes $used/" ;; esac
        done
    done
done
for file in src/model/* src/card/* src/guard/*; do
    grep -qE '#include <(stdio|time|unistd)\.h>' "$file" && complain "$file does input or output"
done
for file in $(grep -lE '#include <jansson\.h>' src/*/*.[ch]); do
    case $file in
    src/nutrients/*.c | src/request/*.c | src/record/*.c | src/report/json.c) ;;
    *) complain "$file includes jansson" ;;
    esac
done
banned='\b(strcpy|strcat|sprintf|vsprintf|strtok|gets|localtime|gmtime|ctime|atoi|atof|strtod|setlocale|system)\('
grep -nE "$banned" src/*/*.[ch] | grep -vE '^src/base/number\.c:' >&2 && bad=1
[ $bad -eq 0 ] && echo "layers: clean"
exit $bad
