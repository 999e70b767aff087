# Sourced by examples/run.sh and tests/run.sh. Installs what is missing and builds.
#   stillwall_setup preset [cmake option...]   leaves the program in build/bin/; presets: CMakePresets.json
# STILLWALL_BUILD names another build folder.

stillwall_root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
stillwall_build=${STILLWALL_BUILD:-$stillwall_root/build}

# Reads lines that may hold a percentage ("[ 37% ...", or apt's "dlstatus:3:37.1:..."). Those become one line that is
# written over on a terminal, and a line at every tenth per cent elsewhere; any other line passes, but apt's own talk.
stillwall_progress() {
    local line percent tenth last=-1 what=
    while IFS= read -r line; do
        if [[ $line =~ ^\[\ *([0-9]+)% ]]; then
            percent=${BASH_REMATCH[1]} what=$line
        elif [[ $line =~ ^(dl|pm)status:[^:]*:([0-9]+)[.0-9]*: ]]; then
            percent=${BASH_REMATCH[2]}
            [[ ${BASH_REMATCH[1]} == dl ]] && what="[$percent%] fetching" || what="[$percent%] installing"
        elif [[ ${1:-} == only ]]; then
            continue
        else
            echo "$line"
            continue
        fi
        tenth=$((percent / 10))
        if [[ -t 1 ]]; then
            printf '\r\033[K%s' "${what:0:110}"
        elif [[ $tenth -ne $last ]]; then
            echo "$what"
        fi
        last=$tenth
    done
    [[ -t 1 && $last -ge 0 ]] && echo
    return 0
}

# stillwall_install_missing [list...]: the packages of these lists beside this file; without any, what stillwall needs.
stillwall_install_missing() {
    local package missing=() as_root=() lists=("${@:-packages.txt}")
    while read -r package; do
        [[ -z $package || $package == \#* ]] && continue
        # Node from elsewhere brings an npm of its own, and Debian's would take that away.
        [[ $package == npm ]] && command -v npm >/dev/null && continue
        [[ $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) == installed ]] || missing+=("$package")
    done < <(cd "$stillwall_root/tests/tools" && cat "${lists[@]}")
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
    (
        set -o pipefail
        "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
            -o APT::Status-Fd=1 "${missing[@]}" | stillwall_progress only
    )
}

# stillwall_configure preset folder [cmake option...]
stillwall_configure() {
    local preset=$1 folder=$2 launcher=()
    shift 2
    command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
    cmake -S "$stillwall_root" --preset "$preset" -B "$folder" "${launcher[@]}" "$@" --log-level=WARNING
}

# stillwall_compile folder [target...]: builds, and shows how far it is.
stillwall_compile() (
    set -o pipefail
    local folder=$1
    shift
    export NINJA_STATUS='[%p %f/%t, %es] '
    cmake --build "$folder" --parallel "$(nproc)" ${1:+--target "$@"} | stillwall_progress
)

stillwall_setup() {
    local preset=$1
    shift
    stillwall_install_missing
    echo "Building in $stillwall_build (some twelve minutes of two cores the first time)"
    stillwall_configure "$preset" "$stillwall_build" "$@"
    stillwall_compile "$stillwall_build"
}
