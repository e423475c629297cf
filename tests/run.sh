#!/usr/bin/env bash
# Installs what the tests need where it can, else names it; then formatting, clippy and docs with warnings as errors, all tests.
set -eu
cd "$(dirname "$0")/.."

# The tests split the options of the cross compilers at blanks.
case "$PWD" in
*[[:space:]]*)
    echo "the tests cannot run here: the path of this folder has a blank in it; move the clone" >&2
    exit 1
    ;;
esac

# What the tests run, and the Debian package that holds it.
missing=
need() { command -v "$1" >/dev/null 2>&1 || missing="$missing $2"; }
need gcc gcc
need g++ g++
need clang clang
need clang++ clang
need python3 python3
need avr-gcc gcc-avr
need avr-size binutils-avr
need arm-none-eabi-gcc gcc-arm-none-eabi
need qemu-system-arm qemu-system-arm
need chromium chromium
need chromedriver chromium-driver
need hunspell hunspell
need tmux tmux
need pdftotext poppler-utils
have_file() { [ -e "$1" ] || missing="$missing $2"; }
have_file /usr/lib/avr/include/avr/io.h avr-libc
have_file /usr/include/simavr/sim_avr.h "simavr libsimavr-dev"
have_file /usr/include/libelf.h libelf-dev
have_file /usr/share/hunspell/en_GB.aff hunspell-en-gb
# Python packages come from Debian for Debian's own interpreter, and from PyPI for any other one.
have_pillow() { python3 -c 'import PIL' 2>/dev/null; }
have_jsonschema() { python3 -c 'from jsonschema import Draft202012Validator' 2>/dev/null; }
# The accessibility rules of axe, which Debian does not have.
have_axe() { python3 -c 'import axe_core_python' 2>/dev/null; }
from_pypi() { python3 -m pip install --quiet "$1" || python3 -m pip install --quiet --user "$1" || true; }
if [ "$(id -u)" != 0 ] || [ "$(command -v python3)" != /usr/bin/python3 ]; then
    have_pillow || from_pypi pillow
    have_jsonschema || from_pypi jsonschema
fi
have_axe || python3 -m pip install --quiet --break-system-packages axe-core-python || from_pypi axe-core-python
have_axe || { echo "the tests need the Python package axe-core-python" >&2; exit 1; }
have_pillow || missing="$missing python3-pil"
have_jsonschema || missing="$missing python3-jsonschema"
# Fonts that others drew, to hold the BDF reader against; those that ship compiled are turned into BDF first.
need pcf2bdf pcf2bdf
have() { [ -e "$1" ] || missing="$missing $2"; }
have /usr/share/emacs/fonts/bdf/lt1-24-etl.bdf emacs-intl-fonts
have /usr/share/fonts/X11/misc/ter-u12n_unicode.pcf.gz xfonts-terminus
have /usr/share/fonts/X11/misc/spleen-5x8.pcf.gz fonts-spleen
have /usr/share/fonts/X11/misc/unifont.pcf.gz xfonts-unifont
if [ -n "$missing" ] && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    echo "installing:$missing"
    apt-get update -qq || echo "the list of packages could not be renewed" >&2
    # shellcheck disable=SC2086 # a list of names
    install() { DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null; }
    # An installation cut short leaves packages half set up: once more after setting them up.
    install || { dpkg --configure -a && install; }
elif [ -n "$missing" ]; then
    echo "the tests need these Debian packages, or what they hold:$missing" >&2
    exit 1
fi

cargo fmt --check
cargo clippy --all-targets --quiet -- -D warnings
RUSTDOCFLAGS="-D warnings" cargo doc --no-deps --quiet
cargo test
