"""The data folders are found wherever the program lies."""

import importlib
import re
import shutil
import sys
import zipfile
from pathlib import Path

import pytest

from benchassist import assets


@pytest.fixture
def relocated(tmp_path, monkeypatch):
    """Import a second copy of the package's locator from another place."""

    def load(place: Path):
        for name in [n for n in sys.modules if n.split(".")[0] == "benchassist"]:
            monkeypatch.delitem(sys.modules, name)
        monkeypatch.syspath_prepend(str(place))
        return importlib.import_module("benchassist.assets")

    return load


def package_in(place: Path) -> Path:
    package = place / "benchassist"
    package.mkdir(parents=True)
    for module in ("__init__.py", "assets.py"):
        shutil.copy(Path(assets.__file__).with_name(module), package)
    return package


@pytest.mark.parametrize("name", ["resources", "demo_cases"])
def test_this_copy_has_both_folders(name):
    assert assets.folder(name).is_dir()


def test_bytes_and_text_of_one_file_agree():
    data = assets.read_bytes("resources", "NOTICES")

    assert data
    assert assets.read_text("resources", "NOTICES") == data.decode("utf-8")


@pytest.mark.parametrize("read", [assets.read_bytes, assets.read_text])
@pytest.mark.parametrize("parts", [("fonts", "no-such.ttf"), ("fonts",), ()])
def test_a_missing_file_is_named_in_one_sentence(read, parts):
    with pytest.raises(assets.MissingAssetError) as caught:
        read("resources", *parts)

    assert "/".join(("resources", *parts)) in str(caught.value)
    assert "install the program again" in str(caught.value)


def test_installed_data_wins_over_a_folder_beside_the_package(tmp_path, relocated):
    package = package_in(tmp_path)
    (tmp_path / "pyproject.toml").touch()
    for place, text in ((tmp_path, "beside"), (package / "_data", "installed")):
        (place / "resources").mkdir(parents=True)
        (place / "resources" / "where.txt").write_text(text)

    assert relocated(tmp_path).read_text("resources", "where.txt") == "installed"


def test_a_folder_beside_the_package_counts_only_in_a_checkout(tmp_path, relocated):
    package_in(tmp_path)
    (tmp_path / "resources").mkdir()
    moved = relocated(tmp_path)

    with pytest.raises(moved.MissingAssetError, match="resources is missing"):
        moved.folder("resources")
    (tmp_path / "pyproject.toml").touch()

    assert moved.folder("resources") == tmp_path / "resources"


def test_data_is_read_from_a_zipped_package(tmp_path, relocated):
    package_in(tmp_path / "plain")
    archive = tmp_path / "zipped.zip"
    with zipfile.ZipFile(archive, "w") as zipped:
        for file in (tmp_path / "plain").rglob("*.py"):
            zipped.write(file, file.relative_to(tmp_path / "plain"))
        zipped.writestr("benchassist/_data/resources/deep/x.txt", "0 ≠ O")
    inside = relocated(archive)

    assert inside.read_text("resources", "deep", "x.txt") == "0 ≠ O"
    with pytest.raises(inside.MissingAssetError, match="demo_cases is missing"):
        inside.folder("demo_cases")


def test_notices_name_every_font_and_every_licence_text_lies_beside_them():
    notices = assets.read_text("resources", "NOTICES")
    resources = assets.folder("resources")
    families = {f.name.split("-")[0] for f in resources.joinpath("fonts").iterdir()}
    texts = {f.name for f in resources.joinpath("licences").iterdir()}

    assert families
    assert {family for family in families if f"fonts/{family}-" in notices} == families
    assert set(re.findall(r"licences/([\w.-]+\.txt)", notices)) == texts
