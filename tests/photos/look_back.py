"""Photos of real cameras through press, and independent readers over what comes out.

Run by tests/run.sh with the program, a folder to work in, and folders that hold photos of real cameras. Ends with a
line of counts. Pillow and ExifRead look for notes of the camera; the segments of every file are walked besides, and the
bytes searched for words that were planted or that a camera wrote. What is found in the sources shows that these readers
would find it.
"""

import io
import logging
import pathlib
import shutil
import struct
import subprocess
import sys

import exifread
from PIL import Image, ImageCms, ImageChops, ImageDraw, ImageOps, ImageStat
from PIL.PngImagePlugin import PngInfo

import outside
from outside import check

program, work = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
cameras = [pathlib.Path(folder) for folder in sys.argv[3:]]
diary = work / "diary"
logging.disable()  # a camera's odd notes are no news here
PLANTED = b"Planted Lane 7"


def wide_profile():
    """A profile of Display P3's primaries (D50, from CSS Color 4) with a gamma of 2.2: an ICC file made by hand."""

    def xyz(*numbers):
        return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(n * 65536)) for n in numbers)

    text = b"P3 by hand, " + PLANTED
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(text) + 1) + text + b"\0" * 79,
        b"cprt": b"text\0\0\0\0none\0",
        b"wtpt": xyz(0.96420, 1.0, 0.82491),
        b"rXYZ": xyz(0.51512, 0.24120, -0.00105),
        b"gXYZ": xyz(0.29198, 0.69225, 0.04189),
        b"bXYZ": xyz(0.15710, 0.06657, 0.78407),
        b"rTRC": b"curv\0\0\0\0\0\0\0\x01\x02\x33",
    }
    tags[b"gTRC"] = tags[b"bTRC"] = tags[b"rTRC"]
    table, data, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, value in tags.items():
        value += b"\0" * (-len(value) % 4)
        table += name + struct.pack(">II", at + len(data), len(value))
        data += value
    body = struct.pack(">I", len(tags)) + table + data
    head = struct.pack(">I4sI4s4s4s", 128 + len(body), b"none", 0x02200000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28
    head += struct.pack(">3i", 63190, 65536, 54061) + b"\0" * 48
    return head + body


def scene():
    """A picture that is not the same from any side, in colours that no narrow profile changes beyond reach."""
    image = Image.new("RGB", (900, 600), (150, 150, 140))
    draw = ImageDraw.Draw(image)
    draw.rectangle((60, 60, 400, 260), fill=(190, 90, 70))
    draw.rectangle((500, 80, 840, 300), fill=(90, 160, 100))
    draw.rectangle((80, 360, 300, 560), fill=(70, 90, 170))
    return image


def planted_exif(orientation):
    exif = Image.Exif()
    exif[0x010F] = PLANTED.decode()
    exif[0x0112] = orientation
    exif.get_ifd(0x8825).update({1: "N", 2: (50.0, 12.0, 34.5), 3: "W", 4: (5.0, 1.0, 2.0)})
    return exif


def make_sources(folder):
    folder.mkdir(parents=True)
    for camera in cameras:
        for path in sorted(camera.rglob("*")):
            if path.suffix.lower() in (".jpg", ".jpeg") and is_photo(path):
                shutil.copy(path, folder / f"{len(list(folder.iterdir()))}-{path.name}")
    for orientation in range(1, 9):
        scene().save(folder / f"way-up-{orientation}.jpg", exif=planted_exif(orientation), quality=92,
                     comment=PLANTED, xmp=b"<x>" + PLANTED + b"</x>")
    scene().save(folder / "planted.webp", exif=planted_exif(6), quality=90, xmp=b"<x>" + PLANTED + b"</x>")
    notes = PngInfo()
    notes.add_text("Comment", PLANTED.decode())
    notes.add_itxt("XML:com.adobe.xmp", PLANTED.decode())
    scene().save(folder / "planted.png", exif=planted_exif(8), pnginfo=notes)
    scene().save(folder / "wide.jpg", icc_profile=wide_profile(), quality=95)
    scene().save(folder / "wide.png", icc_profile=wide_profile())
    scene().convert("L").save(folder / "grey.jpg", exif=planted_exif(3))
    scene().convert("CMYK").save(folder / "four-inks.jpg")
    scene().save(folder / "in-passes.jpg", progressive=True, exif=planted_exif(5))
    with open(folder / "behind-its-end.jpg", "wb") as file:
        scene().save(file, "JPEG")
        file.write(b"trailer " + PLANTED)


def is_photo(path):
    try:
        with Image.open(path) as image:
            image.load()
        return True
    except Exception:
        return False


def as_meant(path):
    """The source as a viewer of today shows it: upright, on white, in sRGB by LittleCMS."""
    image = Image.open(path)
    profile = image.info.get("icc_profile")
    image = ImageOps.exif_transpose(image)
    if image.mode in ("RGBA", "LA", "P"):
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image.convert("RGBA"))
    image = image.convert("RGB")
    if profile and path.name != "four-inks.jpg":
        image = ImageCms.profileToProfile(image, io.BytesIO(profile), ImageCms.createProfile("sRGB"),
                                          renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC)
    return image


def notes_in(data):
    """What Pillow and ExifRead find beside pixels, and every segment of a JPEG that is not needed to show it."""
    found = []
    image = Image.open(io.BytesIO(data))
    found += [f"exif {tag}" for tag in image.getexif()]
    found += [f"gps {tag}" for tag in image.getexif().get_ifd(0x8825)]
    found += [key for key in image.info if key not in ("jfif", "jfif_version", "jfif_unit", "jfif_density", "progressive", "progression")]
    found += [f"exifread {tag}" for tag in exifread.process_file(io.BytesIO(data), details=True)]
    if data[:2] == b"\xff\xd8":
        at = 2
        while data[at + 1] != 0xD9:
            marker, length = data[at + 1], struct.unpack(">H", data[at + 2 : at + 4])[0]
            jfif = marker == 0xE0 and data[at + 4 : at + 9] == b"JFIF\0" and length == 16
            if not jfif and marker not in (0xC0, 0xC2, 0xC4, 0xDA, 0xDB, 0xDD):
                found.append(f"segment {marker:02x}")
            at += 2 + length
            # Behind the head of a scan stand pixels, up to a marker that is no part of them.
            while marker == 0xDA and (data[at] != 0xFF or data[at + 1] in (0, *range(0xD0, 0xD8))):
                at += 1
        if at != len(data) - 2:
            found.append("bytes behind the end")
    return found


def words_of(path):
    """Words that a camera wrote into its file: five letters or more."""
    tags = exifread.process_file(open(path, "rb"), details=False)
    words = set()
    for tag, value in tags.items():
        if not tag.startswith("JPEGThumbnail") and not isinstance(value, bytes):
            words |= {w.encode() for w in str(value).split() if len(w) > 5 and w.isascii()}
    return words


shutil.rmtree(work, ignore_errors=True)
folder = diary / "jobs/2026/cameras"
make_sources(folder)
sources = sorted(folder.iterdir())
(diary / "diary.yaml").write_text("""title: Photos
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
rates: {currency: GBP, hour: 42.00, day: 320.00, day_length: 8h, call_out: 65.00, mile: 0.45, markup_percent: 15}
locations: {boat-shed: Boat shed}
""")
shown = "\n".join(f"{path.name}: Photo {number}" for number, path in enumerate(sources))


def log(name, ref, text, publish):
    (diary / f"jobs/2026/{name}.md").write_text(
        f"---\ntitle: Title {ref}\nref: {ref}\nlocation: boat-shed\nvisits: [{{date: 2026-03-12, time: 4h}}]\n{publish}---\n{text}\n")


log("cameras", "2026-001", f"Open.\n\n```photos\n{shown}\n```", "publish: ready\n")
private = "\n".join(f"cameras/{path.name}: Photo" for path in sources)
log("mine", "2026-002", f"Not yet.\n\n```photos\n{private}\n```", "")
subprocess.run([program, "press", "--diary", diary, "--as-of", "2026-11-25"], check=True, stdout=subprocess.DEVNULL)

with_gps = [p for p in sources if any("gps" in n for n in notes_in(p.read_bytes()))]
check(len(with_gps) >= 4, "the sources carry places, and the readers find them")
real = [p for p in with_gps if "-" in p.name and p.name[0].isdigit()]
check(len(real) >= 2, f"at least two photos of real cameras carry their place: {[p.name for p in real]}")
words = set().union(*(words_of(path) for path in sources)) | {PLANTED, b"Apple", b"iPhone", b"Exif", b"ICC_PROFILE", b"http://ns.adobe"}

out = sorted((diary / "out").rglob("*.jpg"))
site = [p for p in out if "site" in p.parts]
office = [p for p in out if "office" in p.parts]
check(len(site) >= len(sources) and len(office) == len(sources), "every photo is on the site and in the book")
for path in out:
    data = path.read_bytes()
    found = notes_in(data)
    check(not found, f"{path} still holds {found}")
    held = [word for word in words if word in data]
    check(not held, f"{path} still holds the bytes of {held}")
everything = b"".join(p.read_bytes() for p in (diary / "out/site").rglob("*") if p.suffix in (".html", ".xml", ".txt"))
for path in sources:
    check(path.name.encode() not in everything, f"the site names {path.name}")
check(not any(source.stem in p.name for p in site for source in sources), "no file of the site has a source's name")

site_folder = site[0].parent
worst = 0.0
for number, path in enumerate(sources, 1):
    meant = as_meant(path)
    sizes = sorted(site_folder.glob(f"photo-{number}-*.jpg"), key=lambda p: Image.open(p).width)
    check(sizes, f"{path.name} is photo {number}")
    largest = Image.open(sizes[-1])
    check(largest.width == min(meant.width, 1280), f"{path.name} is {largest.width} wide at most")
    check(abs(largest.width * meant.height / meant.width - largest.height) <= 1, f"{path.name} stands upright")
    # Both as a few large cells: what is compared is the way up and the colour, not the grain.
    cells = (12, 12)
    apart = ImageChops.difference(meant.resize(cells, Image.BOX), largest.convert("RGB").resize(cells, Image.BOX))
    mean = max(ImageStat.Stat(apart).mean)
    if path.name != "four-inks.jpg":  # readers differ on what four inks mean without a profile
        worst = max(worst, mean)
        check(mean < 2.5, f"{path.name} looks as it should: {mean:.2f} of 255 apart")

bare = Image.open(folder / "wide.jpg").convert("RGB").resize(cells, Image.BOX)
unmeant = ImageChops.difference(as_meant(folder / "wide.jpg").resize(cells, Image.BOX), bare)
check(max(ImageStat.Stat(unmeant).mean) > 2.5, "a profile passed over would be seen")

page = next((diary / "out/site").rglob("write-ups/*/index.html")).read_text()
check(page.count("<img ") == len(sources) and page.count("loading=\"lazy\"") == len(sources) - 1, "all but the first photo wait")
check("srcset=" in page and "width=" in page and "height=" in page, "sizes are stated")

again = subprocess.run([program, "press", "--diary", diary, "--as-of", "2026-11-25"], check=True, stdout=subprocess.PIPE, text=True)
check("Nothing had changed" in again.stdout, "a second press makes nothing")

for name, bad, words in [
    ("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "photo-heic"),
    ("renamed.jpg", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "photo-heic"),
    ("half.jpg", sources[-1].read_bytes()[:9000] if sources[-1].suffix == ".jpg" else (folder / "wide.jpg").read_bytes()[:9000], "photo-broken"),
    ("half.png", (folder / "wide.png").read_bytes()[:900], "photo-broken"),
    ("half.webp", (folder / "planted.webp").read_bytes()[:900], "photo-broken"),
    ("note.jpg", b"a shopping list", "photo-broken"),
    ("bomb.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", 60000, 60000) + b"\x08\x02\0\0\0", "photo-"),
]:
    (diary / "jobs/2026/bad").mkdir(exist_ok=True)
    (diary / "jobs/2026/bad" / name).write_bytes(bad)
    log("bad", "2026-003", f"Bad.\n\n```photos\n{name}: A bad one\n```", "")
    said = subprocess.run([program, "press", "--diary", diary, "--as-of", "2026-11-25"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    check(said.returncode == 1 and words in said.stdout and "bad.md, line 10" in said.stdout, f"{name}: {said.stdout}")

print(f"{outside.passed} checks of {len(sources)} photos, {len(real)} of real cameras with their place; furthest from a viewer's colours {worst:.1f} of 255.")
