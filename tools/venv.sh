#!/bin/sh
# tools/venv.sh PYTHON DIR: make the virtual environment DIR, or say in one line why it cannot be.
# An environment that already works is kept as it is. Needs no root.
set -eu
wanted=$1
venv=$2

fail() {
    printf 'reedwright: %s\n' "$1" >&2
    exit 1
}

fits() { # Python 3.11 to 3.13, the versions that requires-python in pyproject.toml names
    "$1" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' >/dev/null 2>&1
}

if fits "$venv/bin/python" && "$venv/bin/python" -m pip --version >/dev/null 2>&1; then
    exit 0
fi

python=
for candidate in "$wanted" python3.13 python3.12 python3.11; do
    if fits "$candidate"; then
        python=$candidate
        break
    fi
done
[ -n "$python" ] || fail "$wanted is missing or not Python 3.11 to 3.13, and no python3.11, python3.12 or python3.13 was found; install one, or run: make PYTHON=/path/to/python3 ..."

# Some systems ship venv without ensurepip: their own pip can then fill a bare environment.
if "$python" -m ensurepip --version >/dev/null 2>&1; then
    "$python" -m venv "$venv" || fail "$python could not make a virtual environment in $venv (see above)"
elif "$python" -m pip --version >/dev/null 2>&1; then
    "$python" -m venv --without-pip "$venv" || fail "$python could not make a virtual environment in $venv (see above)"
    "$python" -m pip --python "$venv/bin/python" --disable-pip-version-check -qq install pip || fail "$python could not install pip into $venv (see above)"
else
    fail "$python has neither ensurepip nor pip; install them (on Debian: apt install python3-venv), or run: make PYTHON=/path/to/python3 ..."
fi
