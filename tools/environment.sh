#!/bin/sh
# Build .venv for this checkout: `sh tools/environment.sh runtime` or `… dev`. No root, nothing outside this folder.
set -eu
extra=${1:-runtime}
venv=.venv
mark=$venv/made-for # says for which folder the environment was built; a copied or foreign one is rebuilt
oldest="import sys; sys.exit(sys.version_info < (3, 11))"

say() { printf '%s\n' "$*" >&2; }

find_python() {
    for candidate in "${PYTHON:-}" python3 python3.14 python3.13 python3.12 python3.11 python; do
        [ -n "$candidate" ] && command -v "$candidate" >/dev/null 2>&1 || continue
        if "$candidate" -c "$oldest" >/dev/null 2>&1; then
            command -v "$candidate"
            return 0
        fi
    done
    return 1
}

healthy() {
    [ -f "$mark" ] && [ "$(cat "$mark")" = "$(pwd -P)" ] && "$venv/bin/python" -c "$oldest" >/dev/null 2>&1
}

uv=$(command -v uv || true)
if ! healthy; then
    if ! python=$(find_python); then
        say "Rotorwright needs Python 3.11 or newer, and found none (looked for \$PYTHON, python3, python3.14 … python3.11)."
        say "Debian and Ubuntu: apt install python3 python3-venv.  macOS: install a current python3.  Then run make again."
        exit 1
    fi
    if [ -e "$venv" ]; then say "The .venv here is broken or was made elsewhere: building it anew."; fi
    rm -rf "$venv"
    say "Building the environment in .venv with $("$python" --version). This takes a minute, once."
    if [ -n "$uv" ]; then
        "$uv" venv --quiet --python "$python" "$venv"
    elif ! "$python" -m venv "$venv"; then
        rm -rf "$venv"
        say "python3 could not make a virtual environment. On Debian and Ubuntu: apt install python3-venv.  Then run make again."
        exit 1
    fi
    pwd -P >"$mark"
fi

# the tests of the page need a browser: Debian's is installed by root, anybody else is told how
browser() {
    for candidate in "${ROTORWRIGHT_BROWSER:-}" chromium chromium-browser google-chrome-stable google-chrome chrome; do
        [ -n "$candidate" ] && command -v "$candidate" >/dev/null 2>&1 && return 0
    done
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        say "Installing Chromium for the tests of the page."
        apt-get update -qq >/dev/null 2>&1 || true
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium >/dev/null 2>&1 || true
        command -v chromium >/dev/null 2>&1 && return 0
    fi
    say "The tests of the page need a browser: apt install chromium, or name yours in ROTORWRIGHT_BROWSER."
    exit 1
}

case $extra in
runtime) what=. ;;
dev) what='.[dev,cluster]' && browser ;;
*) say "usage: sh tools/environment.sh runtime|dev" && exit 2 ;;
esac
if [ -n "$uv" ]; then
    "$uv" pip install --quiet --python "$venv/bin/python" -c constraints.txt -e "$what"
elif "$venv/bin/python" -m pip --version >/dev/null 2>&1; then
    "$venv/bin/python" -m pip install --quiet --quiet --no-compile --disable-pip-version-check -c constraints.txt -e "$what"
else # made by uv earlier, uv gone since
    rm -f "$mark"
    exec sh "$0" "$extra"
fi
