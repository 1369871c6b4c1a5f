"""What is built from a checkout carries all the program needs and nothing else."""

import hashlib
import shutil
import subprocess
import sys
import zipfile
from email.parser import Parser
from pathlib import Path

import pytest

import benchassist

CHECKOUT = Path(__file__).parents[1]
DATA = ("resources", "demo_cases")
JUNK = ("resources/scratch.pyc", "demo_cases/__pycache__/x.txt", "dist/old.txt")


def build(source: Path, target: Path, *options: str) -> Path:
    """Build without an environment of its own, so without a network."""
    command = [sys.executable, "-m", "build", "--no-isolation", *options]
    subprocess.run(
        [*command, "--outdir", str(target), str(source)],
        check=True,
        capture_output=True,
        timeout=600,
    )
    (wheel,) = target.glob("*.whl")
    return wheel


@pytest.fixture(scope="module")
def tree(tmp_path_factory):
    """Copy the checkout, add files that git ignores."""
    tree = tmp_path_factory.mktemp("build") / "tree"
    tree.mkdir()
    for item in CHECKOUT.iterdir():
        if item.is_dir() and not item.name.startswith("."):
            shutil.copytree(item, tree / item.name)
        elif item.is_file():
            shutil.copy(item, tree)
    for name in JUNK:
        (tree / name).parent.mkdir(exist_ok=True)
        (tree / name).touch()
    return tree


@pytest.fixture(scope="module")
def wheel_from_sdist(tree):
    return build(tree, tree.parent / "released")


@pytest.fixture(scope="module")
def names(wheel_from_sdist):
    with zipfile.ZipFile(wheel_from_sdist) as wheel:
        return set(wheel.namelist())


@pytest.fixture(scope="module")
def metadata(wheel_from_sdist):
    with zipfile.ZipFile(wheel_from_sdist) as wheel:
        (name,) = (n for n in wheel.namelist() if n.endswith("/METADATA"))
        return Parser().parsestr(wheel.read(name).decode("utf-8"))


@pytest.mark.parametrize("folder", DATA)
def test_every_data_file_travels_inside_the_package(names, folder):
    ours = {
        f"benchassist/_data/{file.relative_to(CHECKOUT).as_posix()}"
        for file in (CHECKOUT / folder).rglob("*")
        if file.is_file()
    }

    assert ours
    assert {n for n in names if n.startswith(f"benchassist/_data/{folder}/")} == ours


def test_every_module_travels(names):
    modules = {
        file.relative_to(CHECKOUT).as_posix()
        for file in (CHECKOUT / "benchassist").rglob("*.py")
    }

    assert {n for n in names if n.endswith(".py")} == modules
    assert "benchassist/py.typed" in names


def test_the_wheel_installs_one_package_and_no_other_top_level_name(names):
    metadata_folder = f"benchassist-{benchassist.__version__}.dist-info"

    assert {n.split("/")[0] for n in names} == {"benchassist", metadata_folder}


def test_ignored_files_stay_at_home(names, tree):
    assert all((tree / junk).exists() for junk in JUNK)
    assert not [n for n in names if Path(n).name in {Path(j).name for j in JUNK}]
    assert not [n for n in names if "__pycache__" in n]


def test_the_sdist_loses_nothing_the_wheel_needs(tree, wheel_from_sdist):
    from_tree = build(tree, tree.parent / "direct", "--wheel")

    digests = {
        hashlib.sha256(wheel.read_bytes()).hexdigest()
        for wheel in (from_tree, wheel_from_sdist)
    }

    assert len(digests) == 1


def test_the_command_names_a_module_that_is_in_the_wheel(names, wheel_from_sdist):
    with zipfile.ZipFile(wheel_from_sdist) as wheel:
        (name,) = (n for n in names if n.endswith("/entry_points.txt"))
        lines = wheel.read(name).decode().split("\n")

    assert "benchassist = benchassist.cli:main" in lines
    assert "benchassist/cli.py" in names


def test_the_binding_that_aborts_is_kept_out(metadata):
    required = metadata.get_all("Requires-Dist")
    binding = [r for r in required if r.startswith("pyside6")]

    assert len(binding) == 2  # one of them only with the extra for sound and voice
    assert all("<6.12" in each for each in binding)
    assert [each for each in binding if "extra" in each] == [
        each for each in binding if "addons" in each
    ]
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata["Version"] == benchassist.__version__
