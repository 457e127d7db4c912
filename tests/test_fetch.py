"""Other archives fetched: from the public web alone, within bounds, and nothing put in place that is no archive."""

from __future__ import annotations

import json
import socket
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from benchleaf.archive import other_archives
from benchleaf.archive.other_archives import UnfitArchiveError, read_archive, site_address, way_below
from benchleaf.build.fetched.fetching import Fetched, NotFetchedError, WayToWeb, fetched
from benchleaf.build.fetched.public_address import UnfitAddressError, is_public, led_on, web_address
from benchleaf.cli import main
from benchleaf.cli.fetch import fetch_all

PUBLIC = "93.184.216.34"
SET = {"id": "one", "address": "sets/one/", "title": "Testwell Trial", "tubes": ["12BE6"]}


def archive(**more: Any) -> dict[str, Any]:
    head = {"format": "benchleaf-sets", "version": 1, "name": "North", "site_url": None, "file": "sets/sets.json"}
    return {**head, "dialect": "american", "sets": [SET], **more}


Answer = Callable[[BaseHTTPRequestHandler], None]


def says(data: bytes, status: int = 200, **headers: str) -> Answer:
    def answer(asked: BaseHTTPRequestHandler) -> None:
        asked.send_response(status)
        for name, value in headers.items():
            asked.send_header(name.replace("_", "-"), value)
        asked.end_headers()
        asked.wfile.write(data)

    return answer


@dataclass
class Web:
    """A web of its own: every name leads to one server on this machine, and seems to be a public address."""

    answers: dict[str, Answer] = field(default_factory=dict)
    names: dict[str, Sequence[str]] = field(default_factory=dict)
    gone_to: list[tuple[str, int]] = field(default_factory=list)
    asked: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    port: int = 0

    @property
    def network(self) -> WayToWeb:
        def connected(number: str, port: int, seconds: float) -> socket.socket:
            self.gone_to.append((number, port))
            return socket.create_connection(("127.0.0.1", self.port), seconds)

        return WayToWeb(lambda host, port: self.names.get(host, [PUBLIC]), connected)


@pytest.fixture
def web() -> Iterator[Web]:
    made = Web()

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:  # the library's own name
            made.asked.append((self.path, {name.lower(): value for name, value in self.headers.items()}))
            with suppress(OSError):
                made.answers[self.path](self)

        def log_message(self, format: str, *args: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    made.port = server.server_address[1]
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
    yield made
    server.shutdown()
    server.server_close()


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("http_proxy", "http://127.0.0.1:9")
    return tmp_path


def test_archives_are_put_in_place(web: Web, capsys: pytest.CaptureFixture[str]) -> None:
    web.answers["/radios/sets/sets.json"] = says(json.dumps(archive()).encode())
    web.answers["/sets.json"] = says(
        json.dumps(archive(name="South", site_url="https://s.example/", sets=[SET, 7])).encode()
    )
    north, south = "http://north.example/radios/sets/sets.json", "http://south.example/sets.json"
    assert fetch_all([north, south], Path("joined"), web.network) == 0
    assert capsys.readouterr() == (
        "",
        "joined/north-example-radios-sets-sets.json: North, 1 set\n"
        "joined/south-example-sets.json: South, 1 set; 1 more cannot be read\n",
    )
    first = read_archive(Path("joined/north-example-radios-sets-sets.json").read_bytes(), "")
    assert (first.name, first.site) == ("North", "http://north.example/radios/")
    assert [one.address for one in first.sets] == ["http://north.example/radios/sets/one/"]
    assert read_archive(Path("joined/south-example-sets.json").read_bytes(), "").site == "https://s.example/"
    assert web.gone_to == [(PUBLIC, 80)] * 2
    assert {"host": "north.example", "accept-encoding": "identity"}.items() <= web.asked[0][1].items()
    assert not {"cookie", "authorization"} & set(web.asked[0][1])


def test_the_file_of_before_stays_until_another_is_whole(web: Web, capsys: pytest.CaptureFixture[str]) -> None:
    web.answers["/s.json"] = says(json.dumps(archive()).encode())
    address, file = "http://a.example/s.json", Path("joined/a-example-s.json")
    assert fetch_all([address], Path("joined"), web.network) == 0
    before = file.read_bytes()
    for data in (b"", b"<html>", b"[" * 10**5, b"{}", json.dumps(archive(version=2)).encode()):
        web.answers["/s.json"] = says(data)
        assert fetch_all([address], Path("joined"), web.network) == 1
        assert capsys.readouterr().err.endswith(f"; {file} is left as it was\n")
        assert file.read_bytes() == before
    web.answers["/s.json"] = says(json.dumps(archive(name="Other")).encode())
    assert fetch_all([address], Path("joined"), web.network) == 0
    assert read_archive(file.read_bytes(), "").name == "Other"
    assert [path.name for path in Path("joined").iterdir()] == [file.name]
    file.write_text("mine")
    assert fetch_all([address], Path("joined"), web.network) == 2
    assert file.read_text() == "mine"
    file.unlink()
    file.symlink_to(Path("elsewhere").absolute())
    assert fetch_all([address], Path("joined"), web.network) == 2
    assert not Path("elsewhere").exists()


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (says(b"x", 404), "found the answer 404"),
        (says(b"x", 200, Content_Encoding="gzip"), "found a compressed answer"),
        (says(b"x" * 5000), "found more than 0 MB"),
        (says(b"x" * 5000, Content_Length="5000"), "found more than 0 MB"),
        (says(b"x" * 10, Content_Length="500"), "found a file that breaks off"),
        (says(b"", 302), "found no end|redirects|expected"),
        (says(b"", 301, Location="http://a.example/s"), "found more than 3 redirects"),
        (lambda asked: asked.wfile.write(b"nonsense\r\n\r\n"), "cannot be reached"),
        (lambda asked: asked.wfile.write(b"HTTP/1.1 200 OK\r\n" + b"a: b\r\n" * 500 + b"\r\n"), "cannot be reached"),
    ],
)
def test_answers_that_are_no_file(answer: Answer, told: str, web: Web) -> None:
    web.answers["/s"] = answer
    with pytest.raises(NotFetchedError, match=told):
        fetched("http://a.example/s", 1000, web.network)


def test_a_host_that_never_ends_is_left(web: Web) -> None:
    def slowly(asked: BaseHTTPRequestHandler) -> None:
        for _ in range(200):
            asked.wfile.write(b"HTTP/1.1 200 OK\r\n"[:1])
            time.sleep(0.05)

    web.answers["/s"] = slowly
    begun = time.monotonic()
    with pytest.raises(NotFetchedError, match="found no end after 0 s"):
        fetched("http://a.example/s", 1000, web.network, seconds=0.4)
    assert time.monotonic() - begun < 8


def test_redirects_are_looked_at_anew(web: Web) -> None:
    web.answers["/s"] = says(b"", 301, Location="http://b.example/t")
    web.answers["/t"] = says(b"", 307, Location="u")
    web.answers["/u"] = says(b"here")
    assert fetched("http://a.example/s", 1000, web.network) == Fetched(b"here", "http://b.example/u")
    for within in (
        "http://c.example/t",
        "http://127.0.0.1/t",
        "http://[::1]:8000/t",
        "file:///etc/passwd",
        "http://me:x@b.example/",
    ):
        web.names |= {"c.example": ["10.0.0.7"], "127.0.0.1": ["127.0.0.1"], "::1": ["::1"]}
        web.answers["/s"] = says(b"", 302, Location=within)
        web.gone_to.clear()
        with pytest.raises(UnfitAddressError):
            fetched("http://a.example/s", 1000, web.network)
        assert web.gone_to == [(PUBLIC, 80)]
    with pytest.raises(UnfitAddressError, match="from https to http"):
        led_on(web_address("https://a.example/"), "http://a.example/")


def test_a_name_is_looked_up_once_and_all_it_leads_to_must_be_public(web: Web) -> None:
    numbers = iter([[PUBLIC], ["127.0.0.1"]])
    web.answers["/s"] = says(b"here")
    way = WayToWeb(lambda host, port: next(numbers), web.network.connected)
    assert fetched("http://a.example/s", 1000, way).data == b"here"
    assert web.gone_to == [(PUBLIC, 80)]
    for mixed in ([PUBLIC, "192.168.0.1"], [], ["no number"]):
        web.names["a.example"] = mixed
        with pytest.raises(UnfitAddressError, match="this machine or its own network"):
            fetched("http://a.example/s", 1000, web.network)
    assert len(web.gone_to) == 1


def test_https_is_not_spoken_to_a_host_without_a_certificate(web: Web) -> None:
    with pytest.raises(NotFetchedError, match="cannot be reached"):
        fetched("https://a.example/s", 1000, web.network)
    assert (web.gone_to, web.asked) == ([(PUBLIC, 443)], [])


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "localhost", "[::1]", "0.0.0.0", "2130706433", "0x7f.1", "[::ffff:127.0.0.1]"]
)
def test_the_command_reaches_nothing_of_this_machine(host: str, web: Web, capsys: pytest.CaptureFixture[str]) -> None:
    web.answers["/sets.json"] = says(json.dumps(archive()).encode())
    assert main(["fetch", f"http://{host}:{web.port}/sets.json"]) == 1
    told = capsys.readouterr().err
    assert "this machine or its own network" in told or "found no host" in told
    assert web.asked == []
    assert not Path("joined").exists()


OWN = """127.0.0.1 10.1.2.3 172.16.0.1 192.168.1.1 169.254.169.254 100.64.0.1 0.0.0.0 224.0.0.1 255.255.255.255
240.0.0.1 192.0.2.1 198.18.0.1 ::1 :: fe80::1 fe80::1%eth0 fc00::1 fec0::1 ff02::1 ::ffff:10.0.0.1 ::127.0.0.1
2002:7f00:1:: 64:ff9b::7f00:1 64:ff9b:1::a00:1 2001:db8::1 2001::1 a.example"""


@pytest.mark.parametrize("number", [*OWN.split(), ""])
def test_numbers_that_are_not_public(number: str) -> None:
    """IANA's registries of special-purpose addresses (RFC 6890), and what IPv6 has for addresses of IPv4."""
    assert not is_public(number)


@pytest.mark.parametrize("number", [PUBLIC, "8.8.8.8", "2606:4700::1111", "::ffff:8.8.8.8", "64:ff9b::808:808"])
def test_numbers_that_are_public(number: str) -> None:
    assert is_public(number)


NONE = ["ftp://a.example/", "file:///etc/passwd", "a.example", "", "http://", "http:///x", "http://me@a.example/"]
NONE += ["javascript:x", "http://a.example:99999/", "http://a.example/\r\nHost: b", "http://a b/", "http://[::1/"]
NONE += [f"http://a.example/{'a' * 3000}"]


@pytest.mark.parametrize("written", NONE)
def test_addresses_that_are_none(written: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fetch", written]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1


def test_addresses_by_their_parts() -> None:
    assert web_address("HTTP://Bücher.example:8080/ä b?c=ä".replace(" ", "")).written == (
        "http://xn--bcher-kva.example:8080/%C3%A4b?c=%C3%A4"
    )
    assert web_address("https://a.example").written == "https://a.example/"
    names = {f"http://a.example/{way}" for way in ("a" * 200, "a" * 201, "b.json")}
    assert len({web_address(name).written for name in names}) == 3


@pytest.mark.parametrize(
    "site", ["javascript:alert(1)//", "http://a@b/", "//a.example/", "http:/a", "http://a.example/?x", 7, None]
)
def test_sites_that_are_no_address(site: object) -> None:
    made = read_archive(json.dumps(archive(site_url=site)).encode(), "")
    assert (made.site, [one.address for one in made.sets]) == ("", [""])


@pytest.mark.parametrize(
    "way",
    [
        "",
        "/x",
        "//b.example/",
        "../x",
        "a/../../x",
        "javascript:x",
        "a\\b",
        "a//b",
        "a/%2e%2e/b",
        "http://b/",
        "a?b",
        "x" * 2000,
        "sets/\ud800/",
    ],
)
def test_ways_that_lead_elsewhere(way: str) -> None:
    assert way_below(way) == ""


def test_half_a_sign_in_an_address_leaves_the_other_sets() -> None:
    """JSON may hold one, no file and no address: it ended the build of the site that joins the archive."""
    sets = [{"id": "a", "title": "A", "address": "sets/\ud800/"}, {"id": "b", "title": "B", "address": "sets/b/"}]
    told = {"format": "benchleaf-sets", "version": 1, "site_url": "https://c.example/", "sets": sets}
    archive = read_archive(json.dumps(told).encode(), "c")
    assert [one.address for one in archive.sets] == ["", "https://c.example/sets/b/"]


def test_ways_and_sites_that_are_taken() -> None:
    assert (way_below("sets/one/"), way_below("sets/ä b/index.html")) == ("sets/one/", "sets/%C3%A4%20b/index.html")
    assert site_address("HTTPS://A.example/x") == "https://a.example/x/"
    assert site_address("http://[2606:4700::1]:8080") == "http://[2606:4700::1]:8080/"


def test_a_small_file_does_not_become_gigabytes_of_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """A set stands in the list of each of its tubes: 3.7 MB of such entries made 256 MB of HTML."""
    long = {**SET, "title": "a" * 600, "address": "b" * 900, "tubes": [f"T{n}" for n in range(200)]}
    made = read_archive(json.dumps(archive(sets=[{**long, "id": "one"}, {**SET, "id": "two"}])).encode(), "")
    assert ([one.id for one in made.sets], made.left_out) == (["two"], 1)
    monkeypatch.setattr(other_archives, "MOST_PRINTED", 2000)
    made = read_archive(json.dumps(archive(sets=[{**SET, "id": str(n)} for n in range(100)])).encode(), "")
    assert 2 < len(made.sets) < 20
    assert len(made.sets) + made.left_out == 100
    for piece in (b"[],", b"1,", b"{},"):
        with pytest.raises(UnfitArchiveError, match="more entries than any archive has"):
            read_archive(b'{"format": "benchleaf-sets", "sets": [' + piece * 4_000_000 + b"0]}", "")


def test_an_archive_is_read_as_what_a_stranger_wrote() -> None:
    odd: list[Any] = [SET, SET, [], None, {**SET, "id": 4}, {**SET, "id": "three", "tubes": "12BE6"}]
    odd += [{**SET, "id": "two", "title": "a\u202eb\x00\n" + "c" * 5000}, {**SET, "id": "five", "tubes": ["x"] * 1000}]
    odd += [
        {**SET, "id": "six", "title": " \u200b"},
        {**SET, "id": "seven", "address": "javascript:x", "more": {"a": [1]}},
    ]
    made = read_archive(
        json.dumps(archive(sets=odd, site_url="https://n.example", name="<b>\u202eN</b>")).encode(), "file"
    )
    assert (made.name, made.left_out, [one.id for one in made.sets]) == ("<b> N</b>", 7, ["one", "two", "seven"])
    assert made.sets[1].title.startswith("a b ccc")
    assert len(made.sets[1].title) == 600
    assert [one.address for one in made.sets] == ["https://n.example/sets/one/"] * 2 + [""]
    assert read_archive(json.dumps(archive(name=None)).encode(), "file").name == "file"
    for unfit in (b"\xff", b"7", b"null", b'{"format": 1}', json.dumps(archive(sets={})).encode(), b'{"a": NaN}'):
        with pytest.raises(UnfitArchiveError):
            read_archive(unfit, "file")
