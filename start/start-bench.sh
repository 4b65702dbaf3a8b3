#!/bin/sh
# Opens the bench; on the first start it makes the environment of Halfpin before. Double-click it, or run it in a
# terminal. Tested on Linux.
here=$(dirname -- "$(readlink -f -- "$0")")

for python in python3 python3.14 python3.13 python3.12 python3.11; do
  if command -v "$python" >/dev/null && "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    "$python" -I "$here/start_bench.py" "$@"
    code=$?
    break
  fi
done

if [ -z "$code" ]; then
  code=2
  if command -v python3 >/dev/null; then
    python3 -I "$here/start_bench.py" # it says which version it is, and which is wanted
  else
    echo "Halfpin needs Python 3.11 or later, and there is none here."
    echo "On Debian and Ubuntu: sudo apt install python3 python3-venv"
    echo "On a Mac: install it from python.org."
  fi
fi

# A window that was opened for this script closes with it, so what went wrong must be read first.
if [ "$code" -ne 0 ] && [ -t 0 ]; then
  printf 'Press Enter to close this. '
  read -r _
fi
exit "$code"
