# Sourced by run, test, bench and the rest: Python, packages, system libraries, key.
# Stands in the project's top folder; sets $python.

top=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
cd "$top"
python="$top/.venv/bin/python"

say() { printf '%s\n' "$*"; }
stop() { printf '%s\n' "$*" >&2; exit 1; }

# apt_get PACKAGE...: installs as root, otherwise names them and stops.
apt_get() {
  if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    say "Installing system packages: $*"
    local log
    log=$(mktemp)
    # RUNLEVEL=1: a server that is installed is not started as well.
    if ! (export DEBIAN_FRONTEND=noninteractive RUNLEVEL=1
          apt-get -o DPkg::Lock::Timeout=120 -qq update &&
            apt-get -o DPkg::Lock::Timeout=120 -qq install -y \
              --no-install-recommends "$@") >"$log" 2>&1 </dev/null; then
      cat "$log" >&2
      rm -f "$log"
      stop "These packages could not be installed: $*"
    fi
    rm -f "$log"
  else
    say "These system packages are missing:" >&2
    printf '  %s\n' "$@" >&2
    stop "Install them, for example: sudo apt-get install --no-install-recommends $*"
  fi
}

# need PACKAGE PROGRAM|lib:FILE ...: pairs; installs what is not there.
need() {
  local missing=()
  while [ $# -gt 0 ]; do
    case "$2" in
      lib:*) has_library "${2#lib:}" || missing+=("$1") ;;
      *) PATH="$PATH:/usr/sbin:/sbin" command -v "$2" >/dev/null || missing+=("$1") ;;
    esac
    shift 2
  done
  [ ${#missing[@]} -eq 0 ] || apt_get "${missing[@]}"
}

has_library() {
  PATH="$PATH:/usr/sbin:/sbin" ldconfig -p 2>/dev/null | grep -qF "$1 "
}

base_python() {
  local found
  for found in python3.11 python3; do
    if command -v "$found" >/dev/null &&
       "$found" -c 'import sys; sys.exit(sys.version_info[:2] < (3, 11))'; then
      command -v "$found"
      return
    fi
  done
  stop "Python 3.11 or newer is missing. Install the package python3."
}

# packages run|dev: the virtual environment with the pinned packages, quick if it stands.
packages() {
  local list=requirements.txt stamp want base
  [ "$1" = run ] || list=deploy/requirements-dev.txt
  stamp=".venv/packages-$1"
  want=$(sha256sum "$list" | cut -d' ' -f1)
  if [ -x "$python" ] && [ "$(cat "$stamp" 2>/dev/null)" = "$want" ]; then return; fi
  if [ ! -x "$python" ] || ! "$python" -m pip --version >/dev/null 2>&1; then
    base=$(base_python) || exit 1
    "$base" -c 'import ensurepip' 2>/dev/null || apt_get python3-venv
    say "Making the virtual environment .venv"
    "$base" -m venv --clear .venv
  fi
  say "Installing the pinned packages of $list"
  "$python" -m pip install --quiet --disable-pip-version-check --no-deps \
    --require-hashes -r "$list" ||
    stop "The packages of $list could not be installed; the lines above say why."
  printf '%s\n' "$want" >"$stamp"
}

# WeasyPrint draws the reports with these.
report_libraries() {
  need libpango-1.0-0 lib:libpango-1.0.so.0 libpangoft2-1.0-0 lib:libpangoft2-1.0.so.0
}

# secret_key: a key of this house alone, in the data folder, unless one is given.
secret_key() {
  local folder="${DATA_DIR:-$top/data}"
  if [ -n "${SECRET_KEY:-}" ] || [ -n "${SECRET_KEY_FILE:-}" ]; then return; fi
  if [ -s "$folder/secret-key" ]; then return; fi
  [ -d "$folder" ] || mkdir -p -m 700 "$folder" ||
    stop "DATA_DIR cannot be made: $folder"
  (umask 077 && "$python" -c 'import secrets; print(secrets.token_urlsafe(64))' \
    >"$folder/secret-key") || stop "DATA_DIR cannot be written: $folder"
}
