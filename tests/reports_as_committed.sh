#!/bin/sh
# The reports and the page under version control in output/ are what the book in specs/ compiles to: the same files, the same bytes.
# usage: reports_as_committed.sh GROUNDROW
set -eu
root=$(cd "$(dirname "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$1" "$root/specs" -q --strict -o "$work/output"
mkdir "$work/committed"
cp "$root"/output/*.txt "$root/output/index.html" "$work/committed/"
rm -f "$work"/output/*.glb "$work"/output/*.png "$work"/output/*.pdf
diff -r "$work/committed" "$work/output" || {
    echo "run \`build/groundrow specs\` and commit output/*.txt and output/index.html"
    exit 1
}
