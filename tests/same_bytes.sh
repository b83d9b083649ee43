#!/bin/sh
# The demo book comes out byte for byte the same, and says the same, for any number of jobs, any locale, any working
# folder, another compiler and no optimisation.
#     tests/same_bytes.sh GROUNDROW
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
groundrow=$1
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# compile NAME PROGRAM ARGUMENTS...: the outputs and messages of a copy of the book into $work/NAME
compile() {
    name=$1 program=$2
    shift 2
    mkdir "$work/$name"
    cp -R "$root/specs" "$work/$name/specs"
    (cd "$work/$name" && "$program" specs --json --patterns=backdrop "$@" >stdout 2>stderr)
    rm -r "$work/$name/specs"
}

same() {
    diff -r "$work/plain" "$work/$1" || {
        echo "$1: differs from the plain run"
        exit 1
    }
}

build() { # build FOLDER FLAGS...: another build of the program alone
    folder=$1
    shift
    generator='-G Ninja'
    [ ! -f "$root/$folder/CMakeCache.txt" ] || generator=
    # shellcheck disable=SC2086
    cmake -S "$root" -B "$root/$folder" $generator -DTESTS=OFF "$@" >/dev/null
    cmake --build "$root/$folder" --target groundrow >/dev/null
}

compile plain "$groundrow" -j1
for file in book.txt index.html 08-fog.png 08-fog.pdf 08-fog.patterns.pdf 08-fog.backdrop.pdf book.pdf; do
    [ -s "$work/plain/output/$file" ] || { echo "no $file"; exit 1; }
done
compile jobs "$groundrow" -j4
same jobs
compile again "$groundrow" -j7
same again
(export LANG=de_DE.UTF-8 LC_ALL=de_DE.UTF-8 LC_NUMERIC=de_DE.UTF-8 TZ=Asia/Kolkata && compile locale "$groundrow")
same locale
(export LC_ALL=C && compile c_locale "$groundrow")
same c_locale

# From another folder, by another path: the same files; the paths in messages are as they were given.
mkdir -p "$work/far/away"
(cd "$work/far/away" && "$groundrow" "$root/specs" --json --patterns=backdrop -q -o "$work/far/output" 2>/dev/null)
diff -r "$work/plain/output" "$work/far/output" || { echo "another folder: differs"; exit 1; }

# Kind by kind, the page last: it tells of what is there.
for kinds in pictures 'sheets --patterns=backdrop' models 'reports --json' page; do
    # shellcheck disable=SC2086
    "$groundrow" "$root/specs" --only $kinds -q -o "$work/kinds" 2>/dev/null
done
diff -r "$work/plain/output" "$work/kinds" || { echo "kind by kind: differs"; exit 1; }

build build-clang -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Release
compile clang "$root/build-clang/groundrow" -j1
same clang
build build-plain -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG=-O0
compile unoptimised "$root/build-plain/groundrow" -j1
same unoptimised
echo "the same bytes nine times"
