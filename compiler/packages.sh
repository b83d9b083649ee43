# Sourced by compiler/make.sh and tests/run.sh: install_missing PACKAGE... makes sure that Debian packages are there.
# Without anything missing it asks nobody and takes no time.

say() {
    printf '%s\n' "groundrow: $*" >&2
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    elif command -v sudo >/dev/null 2>&1; then
        sudo "$@"
    else
        say "root or sudo is needed for: $*"
        exit 3
    fi
}

is_installed() {
    [ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

install_missing() {
    missing=
    for package in "$@"; do
        is_installed "$package" || missing="$missing $package"
    done
    [ -n "$missing" ] || return 0
    if ! command -v apt-get >/dev/null 2>&1; then
        say "this machine has no apt; install by hand:$missing"
        exit 3
    fi
    say "installing$missing"
    as_root apt-get -q update >&2 || say "apt-get update failed; trying with what is known"
    # shellcheck disable=SC2086
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y --no-install-recommends install $missing >&2 || {
        say "could not install:$missing"
        exit 3
    }
}

build_packages='gcc libc6-dev cmake ninja-build pkg-config libyaml-dev libjansson-dev libpng-dev zlib1g-dev libcminpack-dev libcglm-dev
    libjpeg62-turbo-dev libcairo2-dev libfreetype-dev libqpdf-dev fonts-dejavu-core'
