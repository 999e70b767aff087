#!/usr/bin/env bash
# Installs what is missing (apt), builds, and runs every test.
#   --long   the full seeded sets of the statistical tests, and clang-tidy over the whole tree
# With CI set, as continuous integration does: the preset ci (assertions on, warnings are errors), the checks' own tools
# are installed too, and a sanitized build of parts is run at the end (tests/sanitized.sh, which also runs by itself).
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/tools/setup.sh"

for argument in "$@"; do
    case $argument in
    --long) export STILLWALL_LONG=1 ;;
    *)
        echo "usage: tests/run.sh [--long]" >&2
        exit 2
        ;;
    esac
done

preset=release
if [[ -n ${CI:-} ]]; then
    preset=ci
    stillwall_install_missing packages_checks.txt
fi
stillwall_setup "$preset" -DSTILLWALL_TESTS=ON
ctest --test-dir "$stillwall_build" --output-on-failure --parallel 2
if [[ -n ${CI:-} ]]; then bash "$stillwall_root/tests/sanitized.sh"; fi
