"""The environment of a fresh machine: made with the standard library, with or without a pip of its own."""

import subprocess
import sys
import zipfile

import pytest

from generator import bootstrap

INFO = "brought-1.0.dist-info"
PACKAGE = {
    "brought.py": "HERE = __file__\n",
    f"{INFO}/METADATA": "Metadata-Version: 2.1\nName: brought\nVersion: 1.0\n",
    f"{INFO}/WHEEL": "Wheel-Version: 1.0\nGenerator: a test\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    f"{INFO}/RECORD": f"brought.py,,\n{INFO}/METADATA,,\n{INFO}/WHEEL,,\n{INFO}/RECORD,,\n",
}


@pytest.mark.parametrize("outside", [True, False], ids=["a pip outside", "no pip outside"])
def test_what_is_installed_goes_into_the_new_environment(tmp_path, monkeypatch, outside):
    """Whether or not the Python that starts has a pip, a package lands in the environment and is found there."""
    folder = tmp_path / "a new environment"
    monkeypatch.setattr(bootstrap, "ENVIRONMENT", folder)
    monkeypatch.setattr(bootstrap, "_has_pip", lambda: outside)
    wheel = tmp_path / "brought-1.0-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as archive:
        for name, content in PACKAGE.items():
            archive.writestr(name, content)
    bootstrap._create(None)
    subprocess.run([*bootstrap.install_command(None), "--no-index", str(wheel)], check=True)
    asked = [bootstrap.environment_python(), "-c", "import brought; print(brought.HERE)"]
    found = subprocess.run(asked, capture_output=True, text=True, check=True).stdout
    own_pip = subprocess.run([bootstrap.environment_python(), "-c", "import pip"], capture_output=True)

    assert found.startswith(str(folder))
    assert outside == (own_pip.returncode != 0)


def test_an_old_python_is_refused(monkeypatch, capsys):
    """A Python that is too old is told so in one line, before anything is made."""
    monkeypatch.setattr(sys, "version_info", (3, 10, 1))

    assert 1 == bootstrap.start(["check"])
    assert "wristward: Python 3.11 or later is needed; this is 3.10\n" == capsys.readouterr().err
