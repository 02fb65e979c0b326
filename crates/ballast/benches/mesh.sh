#!/usr/bin/env bash
# Mass properties of a mesh of one million triangles, the product against trimesh, by turns in one run on this machine.
# Needs the Rust toolchain and Python 3 with venv; trimesh goes into a folder that is removed at the end.
# Usage: crates/ballast/benches/mesh.sh [ROUNDS] [RUNS A ROUND]
set -euo pipefail
cd "$(dirname "$0")/../../.."
rounds=${1:-9} runs=${2:-3}

place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
python3 -m venv "$place/venv"
"$place/venv/bin/pip" install --quiet --disable-pip-version-check trimesh numpy scipy
product() { cargo bench --quiet --package hingeline-ballast --bench mesh -- "$@"; }
product write "$place/ring.stl"

for round in $(seq "$rounds"); do
    product "$place/ring.stl" "$((runs * 5))" >"$place/product-$round"
    for way in merged soup; do
        "$place/venv/bin/python" crates/ballast/benches/mesh_trimesh.py "$place/ring.stl" "$runs" "$way" >"$place/$way-$round"
    done
done
"$place/venv/bin/python" crates/ballast/benches/mesh_medians.py "$place" "$rounds"
