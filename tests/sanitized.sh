#!/usr/bin/env bash
# Readers, builder, mesher and one command each of modes, sound and explain under the address and undefined-behaviour
# checkers, in a build folder of its own (preset asan). Only what these need is built.
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/tools/setup.sh"

if [[ $# -gt 0 ]]; then
    echo "usage: tests/sanitized.sh" >&2
    exit 2
fi

built=$SECONDS
stillwall_configure asan "$stillwall_build-asan" -DSTILLWALL_TESTS=ON
stillwall_compile "$stillwall_build-asan" mesh_build_test mesh_mesher_test app_input_test stillwall
echo "sanitized: $((SECONDS - built)) s to build"

# Leaks are not looked for: Gmsh and the display's libraries keep what they have until the end.
export ASAN_OPTIONS=detect_leaks=0:abort_on_error=1 UBSAN_OPTIONS=print_stacktrace=1
cd "$stillwall_root"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
bin=$stillwall_build-asan/bin

run() {
    local start=$SECONDS
    if ! "$@" >"$scratch/out" 2>&1; then
        tail -n 60 "$scratch/out"
        echo "sanitized: FAILED: $*" >&2
        exit 1
    fi
    echo "sanitized: $((SECONDS - start)) s: ${*#"$bin/"}"
}

run "$bin/mesh_build_test"
run "$bin/mesh_mesher_test"
run "$bin/app_input_test"
run "$bin/stillwall" modes examples/01-small-two-way/cabinet.yaml --no-pictures --no-advice
run "$bin/stillwall" sound examples/06-sealed-two-way/sealed.yaml --accuracy draft --no-advice --out "$scratch/sound"
run "$bin/stillwall" explain examples/09-wrinkle-of-a-wall/cabinet.yaml --accuracy draft --out "$scratch/explain" \
    --impedance examples/09-wrinkle-of-a-wall/in_box.txt
