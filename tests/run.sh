#!/usr/bin/env bash
# Installs what is missing (apt), builds, and runs every test.
#   --long   also the full seeded sets of the statistical tests, the searches of the examples, clang-tidy over the whole
#            tree, and a sanitized build of parts (tests/sanitized.sh, which also runs by itself)
# With CI set, as continuous integration does: the preset ci (assertions on, warnings are errors), the checks' own tools
# are installed too, clang-tidy goes over what the last commit changed and a part of the rest, and the sanitized build
# runs as in a long run.
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/tools/setup.sh"

configuration=()
for argument in "$@"; do
    case $argument in
    --long)
        export STILLWALL_LONG=1
        configuration=(-C long)
        ;;
    *)
        echo "usage: tests/run.sh [--long]" >&2
        exit 2
        ;;
    esac
done

preset=release
if [[ -n ${CI:-} ]]; then
    preset=ci
    [[ ${#configuration[@]} -eq 0 ]] && configuration=(-C ci)
    stillwall_install_missing packages_checks.txt
fi
stillwall_setup "$preset" -DSTILLWALL_TESTS=ON
ctest --test-dir "$stillwall_build" "${configuration[@]}" --output-on-failure --parallel 2
if [[ -n ${STILLWALL_LONG:-}${CI:-} ]]; then
    bash "$stillwall_root/tests/sanitized.sh"
fi
