"""numba's `njit` with our settings, and a home for the compiled code.

The cache folder carries a digest of this package's sources: numba itself looks only at
the file of the function it loads, not at those of the functions called from there. The
folder is, in this order: the one NUMBA_CACHE_DIR names; __pycache__ beside the sources;
the user's cache folder; none, where nothing can be written (then every process compiles
once, which `warm` in warm.py takes out of the owner's way).
"""

import hashlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import numba

Function = TypeVar("Function", bound=Callable[..., Any])

# numba fills its settings at import and has `_nrt` beside its described options.
config: Any = numba.config
njit: Any = numba.njit

HERE = Path(__file__).resolve().parent


def _digest() -> str:
    text = b"".join(path.read_bytes() for path in sorted(HERE.glob("*.py")))
    return hashlib.sha256(numba.__version__.encode() + text).hexdigest()[:16]


def _writable(folder: Path) -> bool:
    """Can we, and nobody else, put compiled code there?"""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
        # Compiled code of a stranger must never be loaded.
        return os.name == "nt" or folder.stat().st_uid == os.getuid()
    except OSError:
        return False


def cache_folder() -> Path | None:
    """Where compiled code is kept, or None when no place can be written."""
    given = os.environ.get("NUMBA_CACHE_DIR")
    home = os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    bases = [Path(given)] if given else [HERE / "__pycache__", Path(home) / "plumbrow"]
    for base in bases:
        folder = base / f"look-ahead-{_digest()}"
        if base.is_absolute() and _writable(folder):
            return folder
    return None


FOLDER = cache_folder()
if FOLDER is not None:
    config.CACHE_DIR = str(FOLDER)


def _njit(function: Function, **more: bool) -> Any:
    return njit(cache=FOLDER is not None, nogil=True, **more)(function)


def compiled(function: Function) -> Function:
    """`function` compiled on first call, cached on disk, free of the interpreter.

    It may make no arrays: without counting who uses them it is nine times as fast.
    Written into its callers it is twice as fast again: a call would copy the addresses
    of all tables.
    """
    made: Function = _njit(function, _nrt=False, forceinline=True)
    return made


def allocating(function: Function) -> Function:
    """Like `compiled`, for functions that make arrays of their own."""
    made: Function = _njit(function)
    return made
