from pathlib import Path

import pytest

from tracker.planning.core.cli import main
from tracker.planning.core.engine import compiled


def test_the_named_folder_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))

    folder = compiled.cache_folder()

    assert folder is not None
    assert folder.parent == tmp_path
    assert folder.stat().st_mode & 0o777 == 0o700


def test_a_read_only_install_keeps_compiled_code_in_the_users_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("NUMBA_CACHE_DIR", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    # A file where the folder beside the sources would be: nothing can be made there.
    (tmp_path / "install").write_text("")
    monkeypatch.setattr(compiled, "HERE", tmp_path / "install")
    monkeypatch.setattr(compiled, "_digest", lambda: "0")

    assert compiled.cache_folder() == tmp_path / "plumbrow" / "look-ahead-0"


def test_where_nothing_can_be_written_nothing_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "file"))

    assert compiled.cache_folder() is None


def test_a_folder_of_somebody_else_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))
    monkeypatch.setattr(compiled.os, "getuid", lambda: tmp_path.stat().st_uid + 1)

    assert compiled.cache_folder() is None


def test_the_folder_changes_with_the_sources(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.py").write_text("x = 1\n")
    monkeypatch.setattr(compiled, "HERE", tmp_path)
    before = compiled._digest()
    (tmp_path / "a.py").write_text("x = 2\n")

    assert compiled._digest() != before


def test_warm_says_where_compiled_code_is_kept(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["warm"]) == 0
    assert "Compiled code is kept in" in capsys.readouterr().out
