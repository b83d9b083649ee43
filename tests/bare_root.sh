#!/bin/sh
# Proves the two commands on a bare Debian 12: a minimal root by debootstrap, a fresh copy of what is committed, nothing
# installed beforehand. Needs root, the network and some minutes.
#     tests/bare_root.sh [FOLDER]     FOLDER: where the root is made (default: a temporary one, deleted afterwards)
set -eu
top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
[ "$(id -u)" -eq 0 ] || { echo "needs root" >&2; exit 3; }
root=${1:-}
[ -n "$root" ] || root=$(mktemp -d)

leave() {
    for folder in proc dev/shm; do
        if mountpoint -q "$root/$folder" 2>/dev/null; then umount "$root/$folder"; fi
    done
    [ -n "${1:-}" ] || rm -rf --one-file-system "$root"
}
trap 'leave "${1:-}"' EXIT

[ -x "$root/usr/bin/apt-get" ] || debootstrap --variant=minbase bookworm "$root" "${MIRROR:-http://deb.debian.org/debian}"
cp /etc/resolv.conf "$root/etc/resolv.conf"
mount -t proc proc "$root/proc"
mkdir -p "$root/dev/shm"
mount -t tmpfs tmpfs "$root/dev/shm"

rm -rf "$root/root/groundrow"
mkdir -p "$root/root/groundrow"
git -C "$top" archive HEAD | tar -x -C "$root/root/groundrow"

# A network with a certificate authority of its own: what this machine trusts, the bare one trusts too.
authority=
if [ -n "${NODE_EXTRA_CA_CERTS:-}" ]; then
    cp "$NODE_EXTRA_CA_CERTS" "$root/root/authority.crt"
    authority=NODE_EXTRA_CA_CERTS=/root/authority.crt
fi

inside() { # from another folder than the project's, so that neither hangs on where one stands
    echo "== $*"
    begun=$(date +%s)
    chroot "$root" /usr/bin/env -i HOME=/root PATH=/usr/sbin:/usr/bin:/sbin:/bin $authority ${http_proxy:+http_proxy="$http_proxy"} \
        ${https_proxy:+https_proxy="$https_proxy"} /bin/sh -c "cd / && sh /root/groundrow/$*"
    echo "== $*: $(($(date +%s) - begun)) s"
}
inside compiler/make.sh
inside compiler/make.sh
inside tests/run.sh
inside tests/run.sh
echo "both commands, twice each: exit 0"
