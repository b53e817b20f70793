"""A desk over a small invented town, and raw HTTP to ask it."""
import json
import os
import re
import socket
import ssl
import subprocess
import time

PROGRAM = os.environ["NESTROUND_PROGRAM"]

CALLS = """key,received,lon,lat,place,address,species,nest_kind,height_m,client_name,client_phone
C1,2026-07-28,-76.999,41.201,mill gable,1 Invented Lane,Dolichovespula arenaria,aerial,2.8,Ulplo Pedvock,555-0145
C2,2026-07-29,-76.997,41.202,shed,2 Invented Lane,Vespula maculifrons,ground,0,Fendri Vriwvewvelk,555-0143
C3,2026-08-01,-76.995,41.203,barn,3 Invented Lane,Dolichovespula maculata,aerial,5,Anso Brikt,555-0141
"""
CREWS = "crew,lon,lat,shift,people\nRiver crew,-76.998,41.200,07:00-16:30,2\n"


def town(path):
    """Twenty-five junctions, a road along each row and column."""
    rows = ["<osm version='0.6'>"]
    for y in range(5):
        for x in range(5):
            rows.append(f"<node id='{y * 5 + x + 1}' version='1' lat='{41.2 + y * 0.002}' "
                        f"lon='{-77.0 + x * 0.002}'/>")
    ways = [[y * 5 + x + 1 for x in range(5)] for y in range(5)]
    ways += [[y * 5 + x + 1 for y in range(5)] for x in range(5)]
    for i, way in enumerate(ways):
        kind = "primary" if i == 0 else "residential"
        rows.append(f"<way id='{i + 1}' version='1'>" + "".join(f"<nd ref='{n}'/>" for n in way)
                    + f"<tag k='highway' v='{kind}'/><tag k='name' v='Road {i}'/></way>")
    path.write_text("\n".join(rows + ["</osm>"]))


class Desk:
    def __init__(self, folder, *more):
        self.folder = folder
        self.book = folder / "book.gpkg"
        if not self.book.exists():
            town(folder / "town.osm")
            (folder / "calls.csv").write_text(CALLS)
            (folder / "crews.csv").write_text(CREWS)
            roads = folder / "town.roads"
            steps = [["book", "create", self.book],
                     ["crew", "import", self.book, folder / "crews.csv"],
                     ["call", "import", self.book, folder / "calls.csv"]]
            if not roads.exists():
                steps.append(["roads", "build", folder / "town.osm", "--to", roads,
                              "--attribution", "invented"])
            for words in steps:
                subprocess.run([PROGRAM, *map(str, words)], check=True, stdout=subprocess.DEVNULL)
        self.words = open(folder / "said", "w+")
        self.child = subprocess.Popen(
            [PROGRAM, "desk", str(self.book), "--roads", str(folder / "town.roads"), "--on",
             "2026-08-04", "--no-open", *more], stdout=self.words)
        until = time.time() + 30
        self.said = ""
        while "to close" not in self.said:
            assert time.time() < until and self.child.poll() is None, self.said
            time.sleep(0.05)
            self.said = (folder / "said").read_text()
        self.port = int(re.search(r"http://127\.0\.0\.1:(\d+)/", self.said).group(1))
        self.host = f"127.0.0.1:{self.port}"
        self.token = re.search(rb'nestround-session" content="([0-9a-f]{64})"',
                               self.ask("GET", "/").body).group(1).decode()

    def close(self):
        self.child.terminate()
        return self.child.wait(20)

    def socket(self):
        return socket.create_connection(("127.0.0.1", self.port), timeout=30)

    def raw(self, data):
        with self.socket() as line:
            try:
                line.sendall(data)
            except (BrokenPipeError, ConnectionResetError):
                pass
            return receive(line)

    def ask(self, method, path, headers=None, body=None, host=None, token=None):
        lines = {"Host": host or self.host, "Connection": "close", **(headers or {})}
        if token:
            lines["Nestround-Session"] = token
        if body is not None:
            lines.setdefault("Content-Length", str(len(body)))
        head = f"{method} {path} HTTP/1.1\r\n" + "".join(f"{k}: {v}\r\n" for k, v in lines.items())
        return self.raw(head.encode() + b"\r\n" + (body or b""))


class Reply:
    def __init__(self, data):
        head, _, self.body = data.partition(b"\r\n\r\n")
        lines = head.decode("latin-1").split("\r\n")
        self.status = int(lines[0].split()[1]) if lines[0].startswith("HTTP/") else 0
        self.headers = {}
        for line in lines[1:]:
            name, _, value = line.partition(":")
            self.headers[name.lower()] = value.strip()

    def json(self):
        return json.loads(self.body)


def receive(line):
    data = b""
    try:
        while piece := line.recv(65536):
            data += piece
    except (ConnectionResetError, socket.timeout, ssl.SSLError):
        pass
    return Reply(data)
