#!/usr/bin/env bash
# Installs what is missing (apt), builds, and computes the first example.
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/../tests/tools/setup.sh"

stillwall_setup release -DSTILLWALL_TESTS=OFF
cd "$stillwall_root"
command=("$stillwall_build/bin/stillwall" modes examples/01-small-two-way/cabinet.yaml)
echo
echo "\$ ${command[*]}"
"${command[@]}"
echo
echo "Read next: examples/01-small-two-way/README.md; every verb: $stillwall_build/bin/stillwall --help"
