#!/usr/bin/env bash
# One million Monte Carlo trials, the product against numpy, by turns in one run on this machine.
# Needs the Rust toolchain and Python 3 with venv; numpy goes into a folder that is removed at the end.
# Usage: checks/benches/compare.sh [ROUNDS] [RUNS A ROUND]
set -euo pipefail
cd "$(dirname "$0")/../.."
rounds=${1:-7} runs=${2:-15}

place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
python3 -m venv "$place/venv"
"$place/venv/bin/pip" install --quiet --disable-pip-version-check numpy
cargo bench --quiet --package hingeline-checks --bench monte_carlo --no-run

for round in $(seq "$rounds"); do
    cargo bench --quiet --package hingeline-checks --bench monte_carlo -- "$runs" >"$place/product-$round"
    "$place/venv/bin/python" checks/benches/numpy_model.py "$runs" >"$place/numpy-$round"
done
"$place/venv/bin/python" checks/benches/medians.py "$place" "$rounds"
