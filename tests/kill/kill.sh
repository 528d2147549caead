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
