#!/usr/bin/env python3
"""The desk on the wire: who is refused, what cannot be broken, and whether others can read it.

    NESTROUND_PROGRAM=build/dev/nestround tests/planner/desk/wire/test_wire.py [part of a name]
"""
import json
import math
import os
import pathlib
import re
import socket
import ssl
import stat
import subprocess
import sys
import tempfile
import time

from support import CALLS, PROGRAM, Desk, receive

JSON = {"Content-Type": "application/json"}


def refuses_foreign_hosts_and_origins(desk):
    for host in ("evil.example", "evil.example:%d" % desk.port, "127.0.0.1", "127.0.0.1:1",
                 "localhost.evil.example:%d" % desk.port, ""):
        reply = desk.raw(f"GET /api/state HTTP/1.1\r\nHost: {host}\r\n\r\n".encode())
        assert reply.status == 403, (host, reply.status)
        assert b"book.gpkg" not in reply.body
    assert desk.raw(b"GET /api/state HTTP/1.0\r\n\r\n").status == 403
    for path in ("/", "/api/state", "/ogc", "/tiles/roads/14/4685/6118.mvt", "/api/events"):
        for headers in ({"Origin": "http://evil.example"}, {"Origin": "null"},
                        {"Origin": f"http://127.0.0.1:{desk.port + 1}"},
                        {"Origin": f"https://{desk.host}"}, {"Sec-Fetch-Site": "cross-site"},
                        {"Sec-Fetch-Site": "same-site"}):
            reply = desk.ask("GET", path, headers)
            assert reply.status == 403, (path, headers, reply.status)
            assert b"nestround-session" not in reply.body
    for headers in ({}, {"Origin": f"http://{desk.host}"}, {"Sec-Fetch-Site": "same-origin"},
                    {"Sec-Fetch-Site": "none"}):
        assert desk.ask("GET", "/api/state", headers).status == 200, headers
    assert desk.ask("GET", "/api/state", host=f"localhost:{desk.port}").status == 200


def changes_need_the_token_of_this_run(desk):
    body = json.dumps({"site_name": "pear tree", "lon": -76.999, "lat": 41.201}).encode()
    count = len(desk.ask("GET", "/ogc/collections/calls/items").json()["features"])
    for token in (None, "", "0" * 64, desk.token[:-1], desk.token + "0"):
        for method, path in (("POST", "/api/calls"), ("PATCH", "/api/calls/C1"),
                             ("DELETE", "/api/works/w1"), ("PUT", "/api/calls/C1"),
                             ("POST", "/api/undo")):
            reply = desk.ask(method, path, JSON, body, token=token)
            assert reply.status == 403, (token, method, path, reply.status)
    assert len(desk.ask("GET", "/ogc/collections/calls/items").json()["features"]) == count
    reply = desk.ask("DELETE", "/api/works/w999", token=desk.token)
    assert reply.status == 404, reply.status
    # The page's address in a form of another page: no token, foreign origin.
    reply = desk.ask("POST", "/api/calls", {"Content-Type": "text/plain"}, body, token=desk.token)
    assert reply.status == 415, reply.status


def every_answer_carries_the_policy(desk):
    for path, status in (("/", 200), ("/api/state", 200), ("/none", 404), ("/api/none", 404)):
        reply = desk.ask("GET", path)
        assert reply.status == status, (path, reply.status)
        policy = reply.headers["content-security-policy"]
        assert policy.startswith("default-src 'none'; script-src 'self';"), policy
        assert "unsafe" not in policy and "frame-ancestors 'none'" in policy
        assert reply.headers["x-content-type-options"] == "nosniff"
        assert reply.headers["referrer-policy"] == "no-referrer"
        assert reply.headers["cross-origin-resource-policy"] == "same-origin"
        assert reply.headers["cross-origin-opener-policy"] == "same-origin"
        assert "access-control-allow-origin" not in reply.headers
    assert desk.ask("GET", "/").headers["cache-control"] == "no-store"


def no_path_leads_out(desk):
    (desk.folder / "secret.txt").write_text("secret")
    for path in ("/../secret.txt", "/../../../../etc/passwd", "/%2e%2e/secret.txt",
                 "/assets/../../secret.txt", "/assets/..%2f..%2fsecret.txt",
                 "/assets/%2e%2e%5c%2e%2e%5csecret.txt", "//etc/passwd", "/index.html/../../etc/passwd",
                 "/assets/%00", "/tiles/roads/../../../book.gpkg", "/book.gpkg", "/api/photos/../../book.gpkg",
                 "/api/lots/..%2f..%2fbook/label.pdf"):
        reply = desk.ask("GET", path)
        assert reply.status in (400, 404), (path, reply.status)
        assert b"secret" not in reply.body.replace(b"secret.txt", b"") and b"root:" not in reply.body
        assert b"SQLite format" not in reply.body


def large_and_odd_requests_are_refused(desk):
    def quick(data, *statuses):
        begin = time.time()
        reply = desk.raw(data)
        assert reply.status in statuses, (data[:60], reply.status)
        assert time.time() - begin < 3, (data[:60], time.time() - begin)
        return reply

    head = (f"Host: {desk.host}\r\nConnection: close\r\n"
            f"Nestround-Session: {desk.token}\r\n").encode()
    post = b"POST /api/calls HTTP/1.1\r\n" + head
    typed = post + b"Content-Type: application/json\r\n"
    quick(typed + b"Content-Length: 2000000\r\n\r\n", 413)
    quick(typed + b"Content-Length: 99999999999999999999999\r\n\r\n", 413)
    quick(typed + b"Content-Length: -1\r\n\r\n", 400)
    quick(typed + b"Transfer-Encoding: chunked\r\n\r\n5\r\nhello\r\n0\r\n\r\n", 411)
    quick(typed + b"Content-Encoding: gzip\r\nContent-Length: 5\r\n\r\nhello", 415)
    quick(typed + b"\r\n", 411)
    quick(typed + b"Content-Length: 1\r\n\r\n{", 400)
    quick(post + b"Content-Type: text/html\r\nContent-Length: 2\r\n\r\n{}", 415)
    quick(post + b"Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 2\r\n\r\n{}", 415)
    photo = b"POST /api/photos HTTP/1.1\r\n" + head + b"Content-Type: image/jpeg\r\n"
    quick(photo + b"Content-Length: 13000000\r\n\r\n", 413)
    quick(photo + b"Content-Length: 5\r\n\r\nhello", 415, 422)  # says picture, is none
    quick(b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\n" + head + b"\r\n", 414, 400, 0)
    quick(b"GET / HTTP/1.1\r\n" + head + b"X: " + b"a" * 9000 + b"\r\n\r\n", 400, 0)
    quick(b"GET / HTTP/1.1\r\n" + head + b"".join(b"X%d: y\r\n" % i for i in range(20000)) + b"\r\n",
          400, 0)
    quick(b"BREW / HTTP/1.1\r\n" + head + b"\r\n", 400, 405)
    quick(b"TRACE / HTTP/1.1\r\n" + head + b"\r\n", 400, 405)
    quick(b"\x16\x03\x01\x02\x00nonsense\r\n\r\n", 400, 0)
    assert desk.ask("GET", "/api/state").status == 200


def an_unread_body_is_never_a_request(desk):
    inner = f"GET /api/state HTTP/1.1\r\nHost: {desk.host}\r\n\r\n".encode()
    outer = (f"POST /api/calls HTTP/1.1\r\nHost: evil.example\r\nContent-Type: text/plain\r\n"
             f"Content-Length: {len(inner)}\r\n\r\n").encode()
    with desk.socket() as line:
        line.sendall(outer + inner)
        data = b""
        while piece := line.recv(65536):
            data += piece
    assert data.count(b"HTTP/1.1 ") == 1, data[:400]
    assert b"book.gpkg" not in data


def slow_clients_are_let_go_and_disturb_nobody(desk):
    lines = [desk.socket() for _ in range(40)]
    for line in lines:
        line.sendall(b"GET /api/state HTTP/1.1\r\nHost: ")
    begin = time.time()
    assert desk.ask("GET", "/api/state").status == 200
    assert time.time() - begin < 3, time.time() - begin
    ended = None
    while time.time() - begin < 20 and ended is None:
        time.sleep(0.5)
        for line in lines:
            try:
                line.sendall(b"x")
            except OSError:
                ended = time.time() - begin
                break
    for line in lines:
        line.close()
    assert ended is not None and ended < 15, ended


def streams_do_not_exhaust_the_server(desk):
    lines = []
    for _ in range(30):
        line = desk.socket()
        line.sendall(f"GET /api/events HTTP/1.1\r\nHost: {desk.host}\r\n\r\n".encode())
        lines.append(line)
    firsts = [line.recv(4096).split(b"\r\n")[0] for line in lines]
    assert firsts.count(b"HTTP/1.1 200 OK") == 24, firsts
    assert sum(b" 503 " in first for first in firsts) == 6, firsts
    for _ in range(20):
        begin = time.time()
        assert desk.ask("GET", "/api/state").status == 200
        assert time.time() - begin < 2
    # One who listens hears what another enters.
    body = json.dumps({"site_name": "heard", "lon": -76.999, "lat": 41.201}).encode()
    reply = desk.ask("POST", "/api/calls", JSON, body, token=desk.token)
    assert reply.status in (200, 201), (reply.status, reply.body)
    lines[0].settimeout(5)
    heard = b""
    while b"event: changed" not in heard:
        heard += lines[0].recv(4096)
    # Another program's change is heard as well.
    more = desk.folder / "more.csv"
    more.write_text(CALLS.splitlines()[0] + "\nC9,2026-08-02,-76.999,41.201,stable,,,,,,\n")
    subprocess.run([PROGRAM, "call", "import", str(desk.book), str(more)], check=True,
                   stdout=subprocess.DEVNULL)
    lines[1].settimeout(5)
    heard = b""
    while b'"kind":"book"' not in heard:
        heard += lines[1].recv(4096)
    for line in lines:
        line.close()


def a_gis_reads_the_sites(desk):
    from osgeo import gdal
    gdal.UseExceptions()
    source = gdal.OpenEx(f"OAPIF:http://{desk.host}/ogc", gdal.OF_VECTOR)
    names = sorted(source.GetLayer(i).GetName() for i in range(source.GetLayerCount()))
    assert names == ["calls", "nests"], names
    calls = source.GetLayerByName("calls")
    features = list(calls)
    assert len(features) >= 3
    texts = " ".join(str(feature.ExportToJson()) for feature in features)
    for private in ("Pedvock", "555-0145", "Invented Lane", "client"):
        assert private not in texts, private
    calls.SetSpatialFilterRect(-76.9975, 41.2015, -76.9965, 41.2025)
    assert calls.GetFeatureCount() == 1
    for bad in ("bbox=1,2,3", "bbox=a,b,c,d", "limit=0", "limit=x", "datetime=never", "nonsense=1"):
        reply = desk.ask("GET", "/ogc/collections/nests/items?" + bad)
        assert reply.status == 400, (bad, reply.status)
    first = desk.ask("GET", "/ogc/collections/calls/items?limit=2").json()
    assert first["numberReturned"] == 2 and first["numberMatched"] >= 3
    following = [link["href"] for link in first["links"] if link["rel"] == "next"]
    assert following, first["links"]
    second = desk.ask("GET", following[0].split(desk.host)[1]).json()
    assert not {f["id"] for f in first["features"]} & {f["id"] for f in second["features"]}
    early = desk.ask("GET", "/ogc/collections/calls/items?datetime=../2026-07-28").json()
    assert early["numberMatched"] >= 1
    for feature in early["features"]:
        assert feature["properties"]["received"] <= "2026-07-28"


def a_reader_of_tiles_reads_the_roads(desk):
    from osgeo import gdal
    gdal.UseExceptions()
    for zoom, named in ((12, False), (15, True)):
        lon, lat = -76.998, 41.202
        x = int((lon + 180) / 360 * 2 ** zoom)
        y = int((1 - math.asinh(math.tan(math.radians(lat))) / math.pi) / 2 * 2 ** zoom)
        reply = desk.ask("GET", f"/tiles/roads/{zoom}/{x}/{y}.mvt")
        assert reply.status == 200, reply.status
        assert reply.headers["content-type"] == "application/vnd.mapbox-vector-tile"
        path = desk.folder / f"{zoom}-{x}-{y}.pbf"
        path.write_bytes(reply.body)
        tile = gdal.OpenEx(str(path), open_options=[f"X={x}", f"Y={y}", f"Z={zoom}"])
        layer = tile.GetLayerByName("roads")
        rows = list(layer)
        assert {row.GetField("class") for row in rows} == {"primary", "residential"}, rows
        if named:
            assert "Road 0" in {row.GetField("name") for row in rows}
        west, east, south, north = layer.GetExtent()
        metres = 20037508.342789244 / 180
        assert abs(west / metres + 77.0) < 0.02 and abs(east / metres + 76.992) < 0.02, (west, east)
        again = desk.ask("GET", f"/tiles/roads/{zoom}/{x}/{y}.mvt",
                         {"If-None-Match": reply.headers["etag"]})
        assert again.status == 304, again.status
    for path in ("/tiles/roads/3/8/0.mvt", "/tiles/roads/21/0/0.mvt", "/tiles/roads/-1/0/0.mvt"):
        assert desk.ask("GET", path).status == 404, path
    assert desk.ask("GET", "/tiles/roads/a/0/0.mvt").status == 400
    assert desk.ask("GET", "/tiles/roads/10/0/0.mvt").status == 204


def the_document_says_what_is_answered(desk):
    import jsonschema
    document = desk.ask("GET", "/api/openapi.json").json()
    assert document["openapi"].startswith("3.1")
    nests = desk.ask("GET", "/ogc/collections/nests/items").json()["features"]
    calls = desk.ask("GET", "/ogc/collections/calls/items").json()["features"]
    fill = {"/api/works/{id}": {"id": "w999"}, "/api/nests/{id}": {"id": nests[0]["id"]},
            "/api/photos/{id}": {"id": "none"}, "/api/curve/{species}": {"species": "nothing"},
            "/ogc/collections/{collection}/items/{feature}":
                {"collection": "calls", "feature": calls[0]["id"]}}
    usual = {"id": calls[0]["id"], "call": calls[0]["id"], "code": "none", "collection": "nests",
             "z": "14", "x": "4687", "y": "6121"}
    looked = 0
    for path, item in document["paths"].items():
        for method, operation in item.items():
            if method not in ("get", "post", "patch", "put", "delete"):
                continue
            where = re.sub(r"\{(\w+)\}", lambda m: fill.get(path, usual).get(m.group(1), "none"), path)
            if path == "/api/events" or path == "/pair":
                continue
            if method != "get":
                # Without a token each is refused in the one form; that the path is there is
                # seen by what the method is told once the token is.
                reply = desk.ask(method.upper(), where, JSON, b"{}")
                assert reply.status == 403, (path, method, reply.status)
                check(jsonschema, document, document["components"]["schemas"]["Error"], reply.json())
                continue
            reply = desk.ask("GET", where)
            assert reply.status != 404 or "no_such_path" not in reply.body.decode("latin-1"), path
            assert reply.status < 500, (path, reply.status, reply.body[:200])
            answers = operation["responses"]
            told = answers.get(str(reply.status), answers.get("default"))
            assert told, (path, reply.status)
            if "content" not in told or reply.status == 304:
                continue
            kind = reply.headers["content-type"].split(";")[0]
            assert kind in told["content"], (path, reply.status, kind)
            if "json" in kind:
                check(jsonschema, document, told["content"][kind].get("schema", {}), reply.json())
                looked += 1
    assert looked >= 15, looked


def check(jsonschema, document, schema, value):
    whole = {"components": document["components"], "allOf": [schema]}
    validator = jsonschema.Draft202012Validator(whole)
    faults = [f"{list(e.absolute_path)}: {e.message[:200]}" for e in validator.iter_errors(value)]
    assert not faults, faults[:5]


def read_terminal_code(said, folder):
    """What a camera reads in the blocks of the terminal."""
    rows = []
    for line in said.splitlines():
        if line.startswith("\x1b[30;107m"):
            letters = line[len("\x1b[30;107m"):-len("\x1b[0m")]
            rows.append([letter in "\u2588\u2580" for letter in letters])
            rows.append([letter in "\u2588\u2584" for letter in letters])
    size, width = 6, len(rows[0])
    pixels = b"".join(b"".join((b"\x00" if dark else b"\xff") * size for dark in row) * size
                      for row in rows)
    picture = folder / "code.pgm"
    picture.write_bytes(f"P5 {width * size} {len(rows) * size} 255\n".encode() + pixels)
    read = subprocess.run(["zbarimg", "--nodbus", "-q", "--raw", str(picture)], check=True,
                          capture_output=True, text=True)
    return read.stdout.strip()


def the_network_needs_a_code(folder):
    desk = Desk(folder, "--open-to-lan")
    try:
        found = re.search(r"https://([0-9.]+):(\d+)/pair", desk.said)
        code = re.search(r"good once: (\w{4})-(\w{4})", desk.said).groups()
        address, port = found.group(1), int(found.group(2))
        key = pathlib.Path(str(desk.book) + ".desk-key.pem")
        assert stat.S_IMODE(key.stat().st_mode) == 0o600
        certificate = pathlib.Path(str(desk.book) + ".desk-certificate.pem")
        context = ssl.create_default_context(cafile=str(certificate))

        def ask(method, path, headers=None, body=b"", host=None):
            with socket.create_connection((address, port), timeout=20) as plain:
                # The certificate is checked, with the address in it.
                with context.wrap_socket(plain, server_hostname=address) as line:
                    lines = {"Host": host or f"{address}:{port}", "Connection": "close",
                             "Content-Length": str(len(body)), **(headers or {})}
                    line.sendall((f"{method} {path} HTTP/1.1\r\n" + "".join(
                        f"{k}: {v}\r\n" for k, v in lines.items()) + "\r\n").encode() + body)
                    return receive(line)

        wanted = f"https://{address}:{port}/pair?code={''.join(code)}"
        assert read_terminal_code(desk.said, folder) == wanted
        # Nothing speaks without TLS there.
        with socket.create_connection((address, port), timeout=20) as plain:
            plain.sendall(f"GET /api/state HTTP/1.1\r\nHost: {address}:{port}\r\n\r\n".encode())
            assert b"book.gpkg" not in plain.recv(4096)
        assert ask("GET", "/").status == 303
        for path in ("/api/state", "/ogc", "/api/events", "/index.html", "/tiles/roads/1/0/0.mvt"):
            assert ask("GET", path).status == 401, path
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        assert ask("GET", "/pair?code=%3Cscript%3E").body.count(b"<script") == 0
        assert ask("POST", "/pair", form, b"code=WRONG234").status == 403
        assert ask("POST", "/pair", {**form, "Origin": "https://evil.example"},
                   f"code={''.join(code)}".encode()).status == 403
        reply = ask("POST", "/pair", form, f"code={code[0].lower()}-{code[1]}".encode())
        assert reply.status == 303, reply.status
        cookie = reply.headers["set-cookie"]
        for word in ("HttpOnly", "Secure", "SameSite=Strict"):
            assert word in cookie, cookie
        own = {"Cookie": cookie.split(";")[0]}
        assert ask("GET", "/api/state", own).status == 200
        assert ask("GET", "/api/state", own, host="evil.example").status == 403
        assert ask("GET", "/api/state", {"Cookie": "nestround-device=" + "0" * 64}).status == 401
        token = re.search(rb'session" content="([0-9a-f]{64})"', ask("GET", "/", own).body).group(1)
        assert ask("POST", "/api/undo", {**own, **JSON}, b"{}").status == 403
        assert ask("DELETE", "/api/works/w99", {**own, "Nestround-Session": token.decode()}).status == 404
        # The code was good once.
        assert ask("POST", "/pair", form, f"code={''.join(code)}".encode()).status == 403
        statuses = [ask("POST", "/pair", form, b"code=WRONG234").status for _ in range(5)]
        assert statuses[-1] == 429 and ask("POST", "/pair", form, b"code=X").status == 429, statuses
        # On this machine the network's rules are not asked for.
        assert desk.ask("GET", "/api/state").status == 200
    finally:
        assert desk.close() == 0


def main():
    sys.path.insert(0, os.path.dirname(__file__))
    wanted = sys.argv[1] if len(sys.argv) > 1 else ""
    tests = [refuses_foreign_hosts_and_origins, changes_need_the_token_of_this_run,
             every_answer_carries_the_policy, no_path_leads_out, large_and_odd_requests_are_refused,
             an_unread_body_is_never_a_request, slow_clients_are_let_go_and_disturb_nobody,
             a_gis_reads_the_sites, a_reader_of_tiles_reads_the_roads,
             the_document_says_what_is_answered, streams_do_not_exhaust_the_server]
    failed = 0
    with tempfile.TemporaryDirectory(prefix="nestround-wire-") as name:
        folder = pathlib.Path(name)
        desk = Desk(folder)
        try:
            for test in tests:
                failed += run(test, desk, wanted)
        finally:
            assert desk.close() == 0, "the desk did not close by itself"
        failed += run(the_network_needs_a_code, folder, wanted)
    sys.exit(1 if failed else 0)


def run(test, argument, wanted):
    if wanted not in test.__name__:
        return 0
    begin = time.time()
    try:
        test(argument)
    except Exception as problem:  # every test is tried, whatever became of the one before
        import traceback
        print(f"FAILED {test.__name__}: {problem!r}")
        traceback.print_exc()
        return 1
    print(f"ok     {test.__name__} ({time.time() - begin:.1f} s)")
    return 0


if __name__ == "__main__":
    main()
