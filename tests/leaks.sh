#!/bin/sh
# The demo book under valgrind: no read or write outside, no leak, no value that was never set.
#     tests/leaks.sh GROUNDROW
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
valgrind -q --error-exitcode=9 --leak-check=full --show-leak-kinds=definite,indirect,possible --errors-for-leak-kinds=definite,indirect,possible \
    "$1" "$root/specs" --json -j2 -o "$work/output" >/dev/null
[ -s "$work/output/book.txt" ]
