#!/usr/bin/env bash
# A Windows CPython 3.11 under Debian's wine, from Debian and PyPI alone, with crewdesk in it.
#   setup.sh [FOLDER [CHECKOUT]]      default: ./.windows-python and the current folder
#   setup.sh --can                    is wine here, or can it be installed? exit status 0 or 1
# It takes about a minute, the second time some seconds. Then FOLDER/winpy ARGS... runs
# python.exe, FOLDER/wincrew ARGS... crewdesk's commands, and FOLDER/wintui ARGS... its screens
# (in a terminal; after leaving press a key). With TESTS=1 it has what pytest needs, too:
#   cd CHECKOUT && FOLDER/winpy -m pytest -n 0 -p no:cacheprovider tests/store
# The interpreter's dll and extension modules are those that the panda3d wheel carries to
# deploy programs with (deploy_libs/); the pure-Python library is that of a 3.11 on this
# machine; python.exe itself is six lines of C over Py_Main.
set -euo pipefail
have() { command -v wine >/dev/null && command -v x86_64-w64-mingw32-gcc >/dev/null; }
if [ "${1:-}" = --can ]; then
    have || { [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; }
    exit
fi
out=$(realpath -m "${1:-.windows-python}"); src=$(realpath "${2:-.}")
fit() { "$1" -c 'import sys, pip; sys.exit(sys.version_info[:2] != (3, 11))' 2>/dev/null; }
for py in "${PYTHON311:-python3.11}" python3 "$src/.venv/bin/python" none; do
    if fit "$py"; then break; fi
done
[ "$py" != none ] || { echo "setup.sh needs a Python 3.11 that has pip; name it in PYTHON311" >&2; exit 1; }
mkdir -p "$out"; cd "$out"
export WINEPREFIX="$out/prefix" WINEDEBUG=-all WINEDLLOVERRIDES="mscoree,mshtml=" WINEARCH=win64

if ! have; then
    apt-get update -qq
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
        wine wine64 gcc-mingw-w64-x86-64-win32 >/dev/null
fi

win=(--platform win_amd64 --python-version 3.11 --implementation cp --abi cp311 --abi abi3 --abi none --only-binary=:all:)
if [ ! -f py/python311.dll ]; then
    "$py" -m pip download -q --no-deps "${win[@]}" -d dl 'panda3d==1.10.16'
    mkdir -p py/DLLs
    "$py" - dl/panda3d-*.whl py <<'PY'
import sys, zipfile, pathlib
to = pathlib.Path(sys.argv[2])
with zipfile.ZipFile(sys.argv[1]) as z:
    for n in z.namelist():
        d, _, name = n.rpartition("/")
        if d != "deploy_libs" or name.startswith(("api-ms-win", "ucrtbase", "tcl", "tk8")):
            continue  # wine brings its own C runtime
        if name.endswith((".pyd", ".dll")):
            top = name.lower().startswith(("python3", "vcruntime"))
            (to / ("" if top else "DLLs") / name).write_bytes(z.read(n))
PY
fi
if [ ! -f py/python.exe ]; then
    printf '%s\n' '#include <wchar.h>' '__declspec(dllimport) int Py_Main(int, wchar_t **);' \
        'int wmain(int argc, wchar_t **argv) { return Py_Main(argc, argv); }' > python.c
    x86_64-w64-mingw32-gcc -municode -O1 -o py/python.exe python.c py/python311.dll
fi
if [ ! -f py/Lib/os.py ]; then
    lib=$("$py" -c 'import sysconfig; print(sysconfig.get_paths()["stdlib"])')
    mkdir -p py/Lib
    (cd "$lib" && tar cf - --exclude=site-packages --exclude=dist-packages --exclude=__pycache__ \
        --exclude=test --exclude=tests --exclude=lib-dynload --exclude='config-3*' --exclude='_sysconfigdata*' .) | tar xf - -C py/Lib
    mkdir -p py/Lib/site-packages
fi
if [ ! -d py/Lib/site-packages/textual ]; then
    "$py" - "$src/pyproject.toml" > needs.txt <<'PY'
import sys, tomllib
print(*tomllib.load(open(sys.argv[1], "rb"))["project"]["dependencies"], "colorama", sep="\n")
PY
    "$py" -m pip install -q --disable-pip-version-check "${win[@]}" --target py/Lib/site-packages -r needs.txt
fi
"$py" -m pip wheel -q --no-deps -w whl "$src" 2>/dev/null
rm -rf py/Lib/site-packages/crewdesk py/Lib/site-packages/crewdesk-*
"$py" -m pip install -q --disable-pip-version-check --no-deps "${win[@]}" --target py/Lib/site-packages --upgrade whl/crewdesk-*.whl

cat > winpy <<SH
#!/usr/bin/env bash
# python.exe can't take a plain file for stdout or stderr under wine: they go through a pipe.
set -o pipefail
export WINEPREFIX="$WINEPREFIX" WINEDEBUG=\${WINEDEBUG:--all} WINEDLLOVERRIDES="mscoree,mshtml=" WINEARCH=win64
win() { wine "$out/py/python.exe" "\$@"; }
plain() { [ -f "/proc/self/fd/\$1" ]; }
if plain 1 && plain 2; then { win "\$@" 2>&3 | cat; } 3> >(cat >&2)
elif plain 1; then win "\$@" | cat
elif plain 2; then win "\$@" 2> >(cat >&2)
else win "\$@"; fi
SH
cat > wincrew <<SH
#!/bin/sh
exec "$out/winpy" -m crewdesk "\$@"
SH
cp "$src/tests/windows/pipe_driver.py" py/Lib/site-packages/pipe_driver.py
cat > wintui <<'SH'
#!/usr/bin/env bash
# crewdesk's screens from the Windows Python, on this terminal: wintui [ARGS...]
here=$(dirname "$(realpath "$0")")
export TEXTUAL_DRIVER=pipe_driver:PipeDriver COLUMNS=${COLUMNS:-$(tput cols)} LINES=${LINES:-$(tput lines)} COLORTERM=truecolor
export TERM=xterm-256color
old=$(stty -g); stty raw -echo
cat | "$here/winpy" -c "import pipe_driver,sys; from crewdesk.cli import main; sys.exit(main())" "$@" 2>>"$here/tui.err" | cat
stty "$old"
SH
chmod +x winpy wincrew wintui
if [ -n "${TESTS:-}" ] && [ ! -d py/Lib/site-packages/pytest ]; then  # what the tests need
    "$py" -m pip install -q --disable-pip-version-check "${win[@]}" --target py/Lib/site-packages \
        'pytest>=8.3' 'pytest-asyncio>=0.25' 'hypothesis>=6.100' 'pytest-xdist>=3.6'
    # Windows' process clock ticks every 16 ms, so the pilot takes a busy app for an idle one.
    sed -i 's/^SLEEP_GRANULARITY: float = .*/SLEEP_GRANULARITY: float = 0.3/; s/^SLEEP_IDLE: float = .*/SLEEP_IDLE: float = 0.02/; s/max_sleep: float = 1$/max_sleep: float = 10/' py/Lib/site-packages/textual/_wait.py
fi
[ -d prefix ] || wineboot -i >/dev/null 2>&1 || true
./winpy -c 'import sys; print(sys.version, sys.platform)'
