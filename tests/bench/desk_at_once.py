#!/usr/bin/env python3
"""How the desk holds when 50 ask at once, and how long a tile of 200,000 road pieces takes.

    NESTROUND_PROGRAM=build/release/nestround tests/bench/desk_at_once.py [BOOK ROADS]

Without a book and roads it makes a small town of three calls. Prints milliseconds and ratios.
"""
import pathlib
import subprocess
import sys
import tempfile
import threading
import time

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "planner/desk/wire"))
from support import PROGRAM, Desk  # noqa: E402


class Line:
    """A connection that is kept."""

    def __init__(self, desk):
        self.desk = desk
        self.line = desk.socket()

    def ask(self, path):
        self.line.sendall(f"GET {path} HTTP/1.1\r\nHost: {self.desk.host}\r\n\r\n".encode())
        data = b""
        while b"\r\n\r\n" not in data:
            piece = self.line.recv(65536)
            assert piece, "the desk closed the line"
            data += piece
        head, _, body = data.partition(b"\r\n\r\n")
        length = 0
        for row in head.split(b"\r\n")[1:]:
            if row.lower().startswith(b"content-length:"):
                length = int(row.split(b":")[1])
        size = len(body)
        while size < length:
            size += len(self.line.recv(1 << 20))
        assert b" 200 " in head.split(b"\r\n")[0] or b" 204 " in head.split(b"\r\n")[0], head[:80]
        return size


def times(desk, path, at_once, rounds):
    """Milliseconds of each answer when so many ask at the same moment."""
    out, gate = [], threading.Barrier(at_once)

    def one():
        line = Line(desk)
        line.ask("/api/state")
        for _ in range(rounds):
            gate.wait()
            begin = time.perf_counter()
            line.ask(path)
            out.append((time.perf_counter() - begin) * 1000)

    threads = [threading.Thread(target=one) for _ in range(at_once)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(out)


def part(values, share):
    return values[min(len(values) - 1, int(share * len(values)))]


def at_once(desk, paths):
    print(f"{'50 at once':34} {'median':>8} {'p99':>8} {'alone':>8}  p99/alone")
    for path in paths:
        alone = part(times(desk, path, 1, 20), 0.5)
        many = times(desk, path, 50, 10)
        print(f"{path[:34]:34} {part(many, 0.5):8.1f} {part(many, 0.99):8.1f} {alone:8.1f}  "
              f"{part(many, 0.99) / alone:.0f}")


def grid(path, side):
    with open(path, "w") as file:
        file.write("<osm version='0.6'>\n")
        for y in range(side):
            for x in range(side):
                file.write(f"<node id='{y * side + x + 1}' version='1' lat='{41 + y * 0.001:.6f}' "
                           f"lon='{-77 + x * 0.001:.6f}'/>\n")
        for i in range(2 * side):
            row = [(i * side + k if i < side else k * side + i - side) + 1 for k in range(side)]
            kind = "primary" if i % 40 == 0 else "tertiary" if i % 8 == 0 else "residential"
            file.write(f"<way id='{i + 1}' version='1'>" + "".join(f"<nd ref='{n}'/>" for n in row)
                       + f"<tag k='highway' v='{kind}'/><tag k='name' v='Road {i}'/></way>\n")
        file.write("</osm>\n")


def tiles(folder):
    import math
    side = 317
    grid(folder / "grid.osm", side)
    subprocess.run([PROGRAM, "roads", "build", str(folder / "grid.osm"), "--to",
                    str(folder / "town.roads")], check=True, stdout=subprocess.DEVNULL)
    desk = Desk(folder)
    print(f"\ntiles of {2 * side * (side - 1):,} road pieces")
    print(f"{'zoom':>4} {'tiles':>6} {'ms first':>9} {'slowest':>8} {'ms again':>9} {'kB':>7}  first/again")
    for zoom in (8, 10, 11, 12, 13, 14, 15, 16):
        line = Line(desk)  # a connection is closed after a thousand requests
        def number(lon, lat):
            return (int((lon + 180) / 360 * 2 ** zoom),
                    int((1 - math.asinh(math.tan(math.radians(lat))) / math.pi) / 2 * 2 ** zoom))
        x0, y1 = number(-77, 41)
        x1, y0 = number(-77 + side * 0.001, 41 + side * 0.001)
        names = [f"/tiles/roads/{zoom}/{x}/{y}.mvt" for x in range(x0, x1 + 1) for y in range(y0, y1 + 1)]
        names = names[:200]
        took, size, again = [], 0, []
        for name in names:
            begin = time.perf_counter()
            size += line.ask(name)
            took.append((time.perf_counter() - begin) * 1000)
        for name in names:
            begin = time.perf_counter()
            line.ask(name)
            again.append((time.perf_counter() - begin) * 1000)
        first, second = sum(took) / len(took), sum(again) / len(again)
        print(f"{zoom:4} {len(names):6} {first:9.2f} {max(took):8.1f} {second:9.2f} "
              f"{size / len(names) / 1000:7.1f}  {first / second:.1f}")
    desk.close()


def main():
    with tempfile.TemporaryDirectory(prefix="nestround-bench-") as name:
        folder = pathlib.Path(name)
        town = folder / "town"
        town.mkdir()
        if len(sys.argv) == 3:
            (town / "book.gpkg").write_bytes(pathlib.Path(sys.argv[1]).read_bytes())
            (town / "town.roads").write_bytes(pathlib.Path(sys.argv[2]).read_bytes())
        desk = Desk(town)
        at_once(desk, ["/api/state", "/api/nests.geojson", "/api/morning",
                       "/ogc/collections/nests/items?limit=100", "/tiles/roads/12/1171/1530.mvt", "/"])
        desk.close()
        (folder / "grid").mkdir()
        tiles(folder / "grid")


if __name__ == "__main__":
    main()
