#!/bin/sh
# The demo book compiles without a warning, and its reports are those under version control in output/.
#     tests/demo_book.sh GROUNDROW
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
(cd "$root" && "$1" specs --strict -q -o "$work/output")
mkdir "$work/kept"
cp "$root"/output/*.txt "$work/kept/"
rm -f "$work"/output/*.glb
if ! diff -ru "$work/kept" "$work/output"; then
    echo "the reports in output/ are others; 'sh compiler/make.sh' writes them anew: read the difference before it is kept"
    exit 1
fi
echo "$(ls "$work/output" | wc -l) reports as kept"
