#!/bin/sh
# Installs what is missing, builds build/groundrow and compiles the book in specs/ into output/.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$root"
. compiler/packages.sh

# shellcheck disable=SC2086
install_missing $build_packages
# A folder that is configured already keeps its ways (its generator, tests or no tests).
[ -f build/CMakeCache.txt ] || cmake -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DTESTS=OFF >&2
cmake --build build --target groundrow >&2
exec build/groundrow specs -o output
