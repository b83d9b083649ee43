#!/bin/sh
# The reports under version control in output/ are what the book in specs/ compiles to: the same files, the same bytes.
# usage: reports_as_committed.sh GROUNDROW
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$1" "$root/specs" -q --strict -o "$work/output"
mkdir "$work/committed"
cp "$root"/output/*.txt "$work/committed/"
rm -f "$work"/output/*.glb
diff -r "$work/committed" "$work/output" || {
    echo "run \`build/groundrow specs\` and commit output/*.txt"
    exit 1
}
