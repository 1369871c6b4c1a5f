"""Photos: no metadata stays, and what is no photo is one sentence."""

import random
from hashlib import sha256
from io import BytesIO

import pytest
from PIL import Image

from benchassist.photo import (
    LONGEST_PX,
    PhotoError,
    copy_beside,
    keep,
    read_photo,
    whole,
)

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def saved(path, size=(60, 40), **more):
    picture = Image.new("RGB", size)
    picture.putdata([(x % 256, x // 256 % 256, 90) for x in range(size[0] * size[1])])
    picture.save(path, **more)
    return path


def with_exif():
    exif = Image.Exif()
    exif[MAKER] = "EX camera of somebody"
    exif[ORIENTATION] = 6
    exif.get_ifd(GPS)[1] = "N"
    return exif


def test_no_metadata_stays_and_the_picture_stands_upright(tmp_path):
    photo = read_photo(saved(tmp_path / "x.jpg", exif=with_exif()))
    with Image.open(BytesIO(photo.data)) as kept:
        assert kept.size == (40, 60)
        assert not kept.getexif()
        assert b"EX camera" not in photo.data
        assert b"Exif" not in photo.data
    assert photo.digest == sha256(photo.data).hexdigest()


@pytest.mark.parametrize("name", ["x.png", "x.webp", "x.bmp", "x.tiff"])
def test_other_forms_are_read(tmp_path, name):
    assert read_photo(saved(tmp_path / name)).name.endswith(".jpg")


def test_a_large_one_is_made_smaller(tmp_path):
    photo = read_photo(saved(tmp_path / "x.png", size=(3000, 30)))
    with Image.open(BytesIO(photo.data)) as kept:
        assert max(kept.size) == LONGEST_PX


def test_a_photo_is_kept_once_under_its_digest(tmp_path):
    photo = read_photo(saved(tmp_path / "x.png"))
    path = keep(photo, tmp_path / "store")
    before = path.stat().st_mtime_ns
    assert keep(photo, tmp_path / "store") == path
    assert path.stat().st_mtime_ns == before
    assert path.read_bytes() == photo.data
    (tmp_path / "file").write_text("")
    with pytest.raises(PhotoError, match="free some space"):
        keep(photo, tmp_path / "file")


@pytest.mark.parametrize("name", ["none.jpg", "nul\0.jpg", "text.jpg"])
def test_what_is_no_photo(tmp_path, name):
    (tmp_path / "text.jpg").write_text("a name and an address")
    with pytest.raises(PhotoError) as seen:
        read_photo(tmp_path / name)
    assert str(seen.value).isprintable()


def test_a_bomb_of_pixels_is_refused(tmp_path):
    path = tmp_path / "bomb.png"
    Image.new("1", (20_000, 20_000)).save(path)
    assert path.stat().st_size < 1_000_000
    with pytest.raises(PhotoError):
        read_photo(path)


@pytest.mark.parametrize("kind", ["jpg", "png", "webp"])
def test_broken_photos_are_a_photo_or_one_sentence(tmp_path, kind):
    good, chance = saved(tmp_path / f"x.{kind}").read_bytes(), random.Random(3)
    sentences = 0
    for _ in range(100):
        broken = bytearray(good)
        for _ in range(chance.choice((1, 4, 40))):
            broken[chance.randrange(len(broken))] = chance.randrange(256)
        path = tmp_path / f"broken.{kind}"
        path.write_bytes(broken[: chance.randrange(1, len(broken) + 1)])
        try:
            read_photo(path)
        except PhotoError:
            sentences += 1
    assert sentences > 10


def test_photos_beside_a_journal_are_whole_altered_or_missing(tmp_path):
    photo = read_photo(saved(tmp_path / "x.png"))
    path = keep(photo, tmp_path)

    assert whole(tmp_path, photo.digest) == ""
    path.write_bytes(photo.data + b"x")
    assert "altered" in whole(tmp_path, photo.digest)
    path.unlink()
    assert "missing" in whole(tmp_path, photo.digest)


def test_photos_are_copied_beside_another_journal_and_say_which_were_altered(tmp_path):
    first = read_photo(saved(tmp_path / "x.png"))
    second = read_photo(saved(tmp_path / "y.png", size=(61, 40)))
    keep(first, tmp_path)
    keep(second, tmp_path).write_bytes(b"altered")

    assert copy_beside(tmp_path, tmp_path / "copy") == (2, (second.digest,))
    assert whole(tmp_path / "copy", first.digest) == ""
    assert copy_beside(tmp_path / "none", tmp_path / "copy") == (0, ())
