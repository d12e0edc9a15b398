"""What is timed, one group of works a call: prints what each took as JSON.

    python tests/benchmarks/speed_works.py GROUP [PHOTO]

`speed.py` calls it with one checkout's package or another's on the path, and makes ratios of it.
A work whose name holds BASELINE is what the works after it are compared with.
"""

import http.client
import json
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from functools import partial
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from beadcheck.cli.threads import leave_cores_to_opencv

leave_cores_to_opencv()  # as the command does, before NumPy loads

import cv2
from photo_copies import photo_copies
from PIL import Image
from stage_clock import clocked_stages

from beadcheck.coupon import Coupon, Shape
from beadcheck.photo import PhotoKind, read_photo
from beadcheck.pipeline import Request, measure, measure_each, takes_of
from beadcheck.profiles.light_line.reference import KnownStep
from beadcheck.report.picture import annotated_picture
from beadcheck.report.wording import LengthUnit
from beadcheck.target.catalogue import plate_card

SAMPLES: Final = Path(__file__).parents[2] / "samples"
BASELINE: Final = "(the baseline)"
REPEATS: Final = 5
PIPE: Final = Coupon(shape=Shape.PIPE, outside_diameter_mm=219.1)
STEP: Final = KnownStep(thickness_mm=5.0)
HEIGHTS: Final = {
    "side-on, 8 megapixels": (PhotoKind.SIDE_ON, PIPE, None, ["pipe-smaw-side-on"]),
    "light-line, 8": (PhotoKind.LIGHT_LINE, Coupon(), STEP, ["plate-gmaw-light-line"]),
    "pair, 8": (PhotoKind.PAIR, Coupon(), STEP, ["plate-gmaw-pair-a", "plate-gmaw-pair-b"]),
    "pair on pipe, 4": (PhotoKind.PAIR, PIPE, None, ["pipe-smaw-pair-a", "pipe-smaw-pair-b"]),
}
RING: Final = "pipe-ring"
RING_COUPON: Final = Coupon(shape=Shape.PIPE, outside_diameter_mm=60.3)
RING_PHOTOS: Final = 8
LONG_SIDE_PX: Final = 4032
"""Of 12 megapixels."""
PORT: Final = 7919


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """Shortest time to wait and least processor time of a work, in s; peak memory in MB.

    None is what was not taken.
    """

    name: str
    wall_s: float | None
    processor_s: float
    peak_mb: float | None = None


Works = dict[str, Callable[[], object]]


def each_took(works: Works, repeats: int = REPEATS) -> list[Took]:
    """Time works in turn, so that a machine that slows down does so for all of them."""
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in works}
    for _ in range(repeats):
        for name, work in works.items():
            start = time.perf_counter(), _processor_s()
            work()
            times[name].append((time.perf_counter() - start[0], _processor_s() - start[1]))
    return [
        Took(name=name, wall_s=min(w for w, _ in took), processor_s=min(p for _, p in took))
        for name, took in times.items()
    ]


def _processor_s() -> float:
    """Of this process and of those that it waited for."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in used)


def _decoded(photos: Sequence[Path]) -> None:
    for photo in photos:
        cv2.imread(str(photo))


def stages(photo: Path) -> list[Took]:
    """Every stage of a photo, in one thread, so that no stage counts another's time."""
    cv2.setNumThreads(1)
    request = Request(takes=takes_of((photo,)), coupon=Coupon())
    measured = next(iter(measure_each(request)))
    pixels = measured.photos[0].photo
    if pixels is None or not measured.result.stations:
        sys.exit(f"{photo.name} cannot be measured, so its speed says nothing.")
    decode, drawn = each_took(
        {
            "cv2.imread in one thread (the baseline)": lambda: _decoded([photo]),
            "draw": lambda: annotated_picture(pixels, measured.result, unit=LengthUnit.MM),
        }
    )
    took: dict[str, list[float]] = {}
    for _ in range(REPEATS):
        for name, spent_s in clocked_stages(lambda: list(measure_each(request))).items():
            took.setdefault(name, []).append(spent_s)
    found = [Took(name=n, wall_s=None, processor_s=min(s)) for n, s in took.items()]
    return [decode, *found, drawn]


def photo(path: Path) -> list[Took]:
    """A whole photo, warm, drawing apart, and the same steps in plain scikit-image."""
    from plain_scikit import measured_plainly  # noqa: PLC0415  # no other group may pay for it

    request = Request(takes=takes_of((path,)), coupon=Coupon())
    next(iter(measure_each(request)))  # warm: imports done, networks loaded
    card = plate_card()
    return each_took(
        {
            "cv2.imread (the baseline)": lambda: _decoded([path]),
            "read_photo": lambda: read_photo(path),
            "measured, decode included": lambda: list(measure_each(request)),
            "plain scikit-image, which does less": lambda: measured_plainly(path, card),
        }
    )


def heights(_: Path) -> list[Took]:
    """The ways to a height; each has a decode of its own before it as its baseline."""
    took: list[Took] = []
    for way, (kind, coupon, step, names) in HEIGHTS.items():
        photos = [SAMPLES / f"{name}.jpg" for name in names]
        request = Request(takes=takes_of(photos, kind), coupon=coupon, step=step)
        if not next(iter(measure_each(request))).result.profiles:
            sys.exit(f"{names[0]} gives no height, so its speed says nothing.")
        took += each_took(
            {
                f"cv2.imread for {way} (the baseline)": partial(_decoded, photos),
                f"{way}, decode included": lambda asked=request: list(measure_each(asked)),
            },
            repeats=3,
        )
    return took


def joint(_: Path) -> list[Took]:
    """Eight photos of 12 megapixels as one joint, and the command from its start to its files."""
    with tempfile.TemporaryDirectory() as folder:
        photos = _ring_photos(Path(folder))
        request = Request(takes=takes_of(photos), coupon=RING_COUPON)
        measure(Request(takes=takes_of(photos[:1]), coupon=RING_COUPON))
        decoded, measured = each_took(
            {
                "cv2.imread of all (the baseline)": lambda: _decoded(photos),
                "measured and joined": lambda: measure(request),
            },
            repeats=2,
        )
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000.0
        command = ["measure", *map(str, photos), "--outside-diameter", "60.3", "--out"]
        (told,) = each_took(
            {"the command, all files and pictures": lambda: _run(*command, f"{folder}/out")}, 1
        )
    return [decoded, replace(measured, peak_mb=peak_mb), told]


def _ring_photos(folder: Path) -> list[Path]:
    """The sample that goes round a pipe, enlarged to 12 megapixels.

    It has six photos; two of them stand in once more, upside down: they are measured like all
    others before they are told as duplicates.
    """
    small = sorted((SAMPLES / RING).glob("photo-*.jpg"))
    made = []
    for place in range(RING_PHOTOS):
        with Image.open(small[place % len(small)]) as picture:
            scale = LONG_SIDE_PX / max(picture.size)
            size = (round(picture.width * scale), round(picture.height * scale))
            large = picture.convert("RGB").resize(size, Image.Resampling.LANCZOS)
            if place >= len(small):
                large = large.transpose(Image.Transpose.ROTATE_180)
            made.append(folder / f"photo-{place + 1}.jpg")
            large.save(made[-1], quality=90, exif=picture.getexif())
    return made


def many(count: int) -> list[Took]:
    """So many photos of 3 megapixels one after the other, nothing kept; and by one command.

    The peak of memory is that of the first way; `many_photos.py` takes that of the command.
    """
    with tempfile.TemporaryDirectory() as folder:
        photos = photo_copies(Path(folder) / "photos", count, share=0.5)
        request = Request(takes=takes_of(photos))
        took = each_took(
            {
                f"cv2.imread of {count} (the baseline)": lambda: _decoded(photos),
                f"{count} measured": lambda: _each_let_go(request),
            },
            repeats=1,
        )
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000.0
        took[-1] = replace(took[-1], peak_mb=peak_mb)
        if find_spec("beadcheck.many_photos") is None:  # an earlier checkout
            return took
        words = ("measure", f"{folder}/photos", "--each", "--no-picture", "--out", f"{folder}/out")
        return took + each_took({f"{count} by one command": lambda: _run(*words)}, repeats=1)


def _each_let_go(request: Request) -> None:
    for _ in measure_each(request):
        pass


def page(_: Path) -> list[Took]:
    """The page's front door against a bare FastAPI hello, both over one kept connection."""
    import fastapi  # noqa: PLC0415  # no other group may pay for these
    import uvicorn  # noqa: PLC0415

    from beadcheck_page.serving import running_page  # noqa: PLC0415

    hello = fastapi.FastAPI()
    hello.get("/")(lambda: "hello")
    server = uvicorn.Server(uvicorn.Config(hello, port=PORT, log_level="error"))
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        with running_page(PORT + 1):
            doors = [_answers(port) for port in (PORT, PORT + 1)]
            names = ["GET / of a bare FastAPI hello (the baseline)", "GET / of the page"]
            return each_took(dict(zip(names, doors, strict=True)), repeats=50)
    finally:
        server.should_exit = True
        thread.join()


def _answers(port: int) -> Callable[[], object]:
    """One request over a connection that is kept; raises unless it is answered."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)

    def ask() -> None:
        connection.request("GET", "/")
        answer = connection.getresponse()
        answer.read()
        if answer.status != http.HTTPStatus.OK:
            sys.exit(f"port {port} answers {answer.status}")

    ask()
    return ask


def start(_: Path) -> list[Took]:
    """Starts of Python, of OpenCV, of the library and of the command."""
    return each_took(
        {
            "python -c pass (the baseline)": lambda: _run(code="pass"),
            "import beadcheck": lambda: _run(code="import beadcheck"),
            "beadcheck --help": lambda: _run("--help"),
            "beadcheck measure --help": lambda: _run("measure", "--help"),
            "import cv2": lambda: _run(code="import cv2"),
            "import beadcheck.pipeline": lambda: _run(code="import beadcheck.pipeline"),
        }
    )


def _run(*arguments: str, code: str | None = None) -> None:
    asked = ["-c", code] if code is not None else ["-m", "beadcheck", *arguments]
    subprocess.run([sys.executable, *asked], check=True, capture_output=True)


GROUPS: Final[dict[str, Callable[[Path], list[Took]]]] = {
    "stages": stages,
    "photo": photo,
    "heights": heights,
    "joint": joint,
    "1": lambda _: many(1),
    "10": lambda _: many(10),
    "100": lambda _: many(100),
    "1000": lambda _: many(1000),
    "page": page,
    "start": start,
}

if __name__ == "__main__":
    print(json.dumps([asdict(each) for each in GROUPS[sys.argv[1]](Path(sys.argv[2]))]))
