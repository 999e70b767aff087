#!/usr/bin/env bash
# Installs what is missing (apt), builds, and runs every test.
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/tools/setup.sh"

stillwall_setup -DSTILLWALL_TESTS=ON
ctest --test-dir "$stillwall_build" --output-on-failure --parallel 2
