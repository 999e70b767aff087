# Sourced by examples/run.sh and tests/run.sh. Installs what is missing and builds.
#   stillwall_setup [cmake option...]   leaves the program in build/bin/
# STILLWALL_BUILD names another build folder.

stillwall_root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
stillwall_build=${STILLWALL_BUILD:-$stillwall_root/build}

stillwall_install_missing() {
    local package missing=() as_root=()
    while read -r package; do
        [[ -z $package || $package == \#* ]] && continue
        [[ $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) == installed ]] || missing+=("$package")
    done <"$stillwall_root/tests/tools/packages.txt"
    [[ ${#missing[@]} -eq 0 ]] && return
    if ! command -v apt-get >/dev/null; then
        echo "Please install by your own system's means: ${missing[*]}" >&2
        return 1
    fi
    if [[ $(id -u) -ne 0 ]]; then
        command -v sudo >/dev/null || { echo "Please install as root: apt-get install ${missing[*]}" >&2; return 1; }
        as_root=(sudo)
    fi
    echo "Installing ${#missing[@]} missing packages and what they need (up to about 1 GB on a bare system): ${missing[*]}"
    "${as_root[@]}" apt-get update -qq
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

stillwall_setup() {
    local launcher=()
    stillwall_install_missing
    command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
    echo "Building in $stillwall_build (a few minutes the first time)"
    cmake -S "$stillwall_root" -B "$stillwall_build" -G Ninja -DCMAKE_BUILD_TYPE=Release "${launcher[@]}" "$@" \
        --log-level=WARNING
    cmake --build "$stillwall_build" --parallel "$(nproc)" -- --quiet
}
