#!/bin/sh
# The tests again, under the address and undefined-behaviour sanitizers, every piece of an arena a malloc of its own.
set -eu
cd "$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)"
generator='-G Ninja'
[ ! -f build-sanitize/CMakeCache.txt ] || generator=
# shellcheck disable=SC2086
cmake -S . -B build-sanitize $generator -DCMAKE_BUILD_TYPE=RelWithDebInfo -DCMAKE_C_FLAGS_RELWITHDEBINFO='-O1 -g' \
    -DSANITIZE=ON -DMALLOC_EACH=ON "$@"
cmake --build build-sanitize
ASAN_OPTIONS=detect_leaks=1 UBSAN_OPTIONS=print_stacktrace=1 \
    ctest --test-dir build-sanitize --output-on-failure --parallel "$(getconf _NPROCESSORS_ONLN)"
