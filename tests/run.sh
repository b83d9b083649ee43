#!/bin/sh
# Installs what the tests need, builds everything and runs all tests; the last lines are ctest's own summary.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$root"
. compiler/packages.sh

node_packages='nodejs npm'
if command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1; then
    node_packages=
fi
# shellcheck disable=SC2086
install_missing $build_packages $node_packages \
    libcriterion-dev libassimp-dev clang libclang-rt-14-dev valgrind units python3 python3-numpy python3-opencv chromium poppler-utils

# What comes from npm is pinned by a lock file; a copy of it beside the packages says that they are those.
for lock in tests/external/*/package-lock.json; do
    [ -f "$lock" ] || continue
    folder=$(dirname -- "$lock")
    if ! cmp -s "$lock" "$folder/node_modules/.installed-lock"; then
        say "npm ci in $folder"
        (cd "$folder" && npm ci --no-audit --no-fund --loglevel=error >&2)
        mkdir -p "$folder/node_modules"
        cp "$lock" "$folder/node_modules/.installed-lock"
    fi
done

generator='-G Ninja'
[ ! -f build/CMakeCache.txt ] || generator=
# shellcheck disable=SC2086
cmake -S . -B build $generator -DCMAKE_BUILD_TYPE=Release -DTESTS=ON -DWERROR=ON >&2
cmake --build build >&2
exec ctest --test-dir build --output-on-failure --parallel "$(getconf _NPROCESSORS_ONLN)"
