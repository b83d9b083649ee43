#!/bin/sh
# Every fuzz target for a while, from the book's and the cases' own texts: no crash, nothing a sanitizer sees.
#     tests/fuzz.sh [SECONDS]     for each target; 600 unless said otherwise
#     tests/fuzz.sh smoke         a fixed number of tries from a fixed seed
set -eu
cd "$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)"
tries="-max_total_time=${1:-600}"
[ "$tries" != -max_total_time=smoke ] || tries='-seed=1 -runs=4000'
generator='-G Ninja'
[ ! -f build-fuzz/CMakeCache.txt ] || generator=
# shellcheck disable=SC2086
cmake -S . -B build-fuzz $generator -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=RelWithDebInfo -DFUZZ=ON -DSANITIZE=ON
targets=$(for source in tests/fuzz/*_fuzz.c; do basename "$source" .c; done)
# shellcheck disable=SC2086
cmake --build build-fuzz --target $targets

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
number=0
for text in specs/*.yaml tests/cases/*/specs/*.yaml; do
    number=$((number + 1))
    mkdir -p "$work/yaml"
    cp "$text" "$work/yaml/$number"
done
mkdir "$work/quantities"
grep -v '^#' tests/grammar/accepted.txt | head -200 | while read -r line; do
    number=$((number + 1))
    printf '%s' "$line" >"$work/quantities/$number"
done
/usr/bin/python3 tests/external/image_files.py "$work/images"
for target in $targets; do
    seeds=$work/yaml
    [ "$target" != image_fuzz ] || seeds=$work/images
    [ "$target" != quantity_fuzz ] || seeds=$work/quantities
    runs=$tries
    [ "$target ${1:-}" != 'picture_fuzz smoke' ] || runs='-seed=1 -runs=1000' # each draws three pictures
    [ "$target ${1:-}" != 'sheets_fuzz smoke' ] || runs='-seed=1 -runs=300' # and some ten pages
    echo "== $target $runs"
    # shellcheck disable=SC2086
    (cd "$work" && "$OLDPWD/build-fuzz/tests/$target" $runs -timeout=60 -rss_limit_mb=2048 \
        -verbosity=0 "$seeds")
done
