#!/bin/sh
# Builds and runs a benchmark; the other arguments go to it (see --help). Not part of the tests: it measures, it does not judge.
#   run.sh [ARGUMENTS]        bench_eigen
#   run.sh sound [ARGUMENTS]  bench_sound
#   run.sh variants [ARGUMENTS]  bench_variants
set -e
cd "$(dirname "$0")/../.."
build=${BUILD_DIR:-build/bench}
name=bench_eigen
if [ "$1" = sound ]; then
    name=bench_sound
    shift
elif [ "$1" = variants ]; then
    name=bench_variants
    shift
fi
cmake -S . -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release > /dev/null
cmake --build "$build" --target "$name"
exec "$build/bin/$name" "$@"
