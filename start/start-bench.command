#!/bin/sh
# Opens the bench on a Mac, with a double-click. Not yet run on a Mac.
exec "$(dirname -- "$0")/start-bench.sh" "$@"
