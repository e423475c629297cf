#!/usr/bin/env bash
# Installs what the tests need where it can, else names it; then formatting, clippy with warnings as errors, all tests.
set -eu
cd "$(dirname "$0")/.."
if ! python3 -c 'import PIL' 2>/dev/null; then
    python3 -m pip install --quiet pillow || { echo "the tests need Pillow for python3: pip install pillow" >&2; exit 1; }
fi
cargo fmt --check
cargo clippy --all-targets --quiet -- -D warnings
cargo test
