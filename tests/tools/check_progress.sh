#!/usr/bin/env bash
# What setup.sh shows of a build and of an installation where output is no terminal, from lines as ninja and apt print them.
set -euo pipefail
source "$(dirname "${BASH_SOURCE[0]}")/setup.sh"

expect() {
    [[ $2 == "$3" ]] && return
    printf '%s:\nexpected\n%s\ngot\n%s\n' "$1" "$2" "$3"
    exit 1
}

built=$(printf '%s\n' "[  1% 1/90, 1s] a" "[  2% 2/90, 2s] b" "b.cpp: error: c" "[ 10% 9/90, 9s] d" "[100% 90/90, 95s] e" |
    stillwall_progress)
expect "a build" $'[  1% 1/90, 1s] a\nb.cpp: error: c\n[ 10% 9/90, 9s] d\n[100% 90/90, 95s] e' "$built"

installed=$(printf '%s\n' "dlstatus:1:0.0000:Retrieving file 1 of 1" "Setting up xauth" "dlstatus:1:5.1:Retrieving" \
    "pmstatus:xauth:20.0000:Unpacking xauth (amd64)" | stillwall_progress only)
expect "an installation" $'[0%] fetching\n[20%] installing' "$installed"
