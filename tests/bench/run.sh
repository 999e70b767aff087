#!/bin/sh
# Builds and runs the benchmarks; arguments go to bench_eigen (see --help). Not part of the tests: it measures, it does not judge.
set -e
cd "$(dirname "$0")/../.."
build=${BUILD_DIR:-build/bench}
cmake -S . -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release > /dev/null
cmake --build "$build" --target bench_eigen
exec "$build/bin/bench_eigen" "$@"
