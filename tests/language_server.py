"""A YAML language server and the little of its protocol that a test needs to be its editor.

The protocol is the Language Server Protocol 3.17: JSON-RPC messages behind a ``Content-Length`` line each.
"""

from __future__ import annotations

import json
import subprocess
import sysconfig
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_SCRIPTS = Path(sysconfig.get_path("scripts"))
_YAML = {"validate": True, "hover": True, "completion": True, "schemaStore": {"enable": False}}
"""What an editor has set: nothing is looked up on the net."""


class Editor:
    """An editor with one language server behind it; what it opens lies in ``folder``, the schema beside it."""

    def __init__(self, process: subprocess.Popen[bytes], folder: Path, schemas: dict[str, str]) -> None:
        self._process = process
        self._settings: dict[str, Any] = {"yaml": {**_YAML, "schemas": schemas}}
        self._folder = folder
        self._sent = 0
        self._opened = 0
        self._told: dict[str, list[Any]] = {}

    def start(self) -> None:
        workspace = {"configuration": True, "didChangeConfiguration": {"dynamicRegistration": True}}
        document = {
            "completion": {"completionItem": {"snippetSupport": True, "documentationFormat": ["markdown"]}},
            "hover": {"contentFormat": ["markdown"]},
            "publishDiagnostics": {},
        }
        capabilities = {"workspace": workspace, "textDocument": document}
        root = self._folder.as_uri()
        opened = {"rootUri": root, "workspaceFolders": [{"uri": root, "name": "archive"}]}
        self._ask("initialize", {"processId": None, **opened, "capabilities": capabilities})
        self._tell("initialized", {})
        self._tell("workspace/didChangeConfiguration", {"settings": self._settings})

    def problems(self, text: str, file: str = "") -> list[str]:
        """What is underlined in a record: line, words, and what is said of them."""
        uri = self._open(text, file)
        while uri not in self._told:
            self._take()
        lines = text.split("\n")
        return [_underlined(lines, told) for told in self._told[uri]]

    def offered(self, text: str) -> dict[str, str]:
        """What is offered at the ``|`` of a record, each with what is said of it."""
        before, _, after = text.partition("|")
        found = self._ask("textDocument/completion", self._at(self._open(before + after), before))
        return {item["label"]: _plain(item.get("documentation", "")) for item in found["items"]}

    def shown(self, text: str) -> str:
        """What is shown over the word behind the ``|`` of a record."""
        before, _, after = text.partition("|")
        found = self._ask("textDocument/hover", self._at(self._open(before + after), before))
        return _plain(found["contents"]) if found else ""

    def stop(self) -> None:
        self._ask("shutdown", None)
        self._tell("exit", None)
        self._process.wait(timeout=20)

    def _open(self, text: str, file: str = "") -> str:
        self._opened += 1
        uri = (self._folder / (file or f"{self._opened}.yml")).as_uri()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": text}
        self._tell("textDocument/didOpen", {"textDocument": document})
        return uri

    def _at(self, uri: str, before: str) -> dict[str, Any]:
        position = {"line": before.count("\n"), "character": len(before.rpartition("\n")[2])}
        return {"textDocument": {"uri": uri}, "position": position}

    def _tell(self, method: str, parameters: Any) -> None:
        self._put({"method": method, "params": parameters})

    def _ask(self, method: str, parameters: Any) -> Any:
        self._sent += 1
        self._put({"id": self._sent, "method": method, "params": parameters})
        while True:
            message = self._take()
            if message.get("id") == self._sent and "method" not in message:
                assert "error" not in message, message
                return message["result"]

    def _put(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self._process.stdin
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
        self._process.stdin.flush()

    def _take(self) -> dict[str, Any]:
        """The server's next message. What it asks is answered, and what it underlines is kept."""
        assert self._process.stdout
        length = 0
        while line := self._process.stdout.readline().strip():
            name, _, value = line.partition(b":")
            length = int(value) if name.lower() == b"content-length" else length
        assert length, "the language server has ended"
        message: dict[str, Any] = json.loads(self._process.stdout.read(length))
        if message.get("method") == "textDocument/publishDiagnostics":
            self._told[message["params"]["uri"]] = message["params"]["diagnostics"]
        elif "method" in message and "id" in message:
            wanted = message["params"]["items"] if message["method"] == "workspace/configuration" else None
            answer = [self._settings.get(item["section"], {}) for item in wanted] if wanted is not None else None
            self._put({"id": message["id"], "result": answer})
        return message


def _underlined(lines: list[str], told: dict[str, Any]) -> str:
    start, end = told["range"]["start"], told["range"]["end"]
    line = lines[start["line"]]
    words = line[start["character"] : end["character"] if end["line"] == start["line"] else None]
    return f"{start['line'] + 1}: {words}: {told['message']}"


def _plain(documentation: Any) -> str:
    return documentation["value"] if isinstance(documentation, dict) else str(documentation)


@contextmanager
def editor(folder: Path, schemas: dict[str, str]) -> Iterator[Editor]:
    """An editor of what lies in a folder, its server running until it is closed; ``schemas`` by what they are for."""
    server, node = _SCRIPTS / "yaml-language-server", _SCRIPTS / "node"
    missing = [path.name for path in (server, node) if not path.exists()]
    assert not missing, f"{missing} not installed: the README's second command installs the YAML language server"
    command = [str(node), str(server), "--stdio"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        opened = Editor(process, folder, schemas)
        try:
            opened.start()
            yield opened
            opened.stop()
        finally:
            process.kill()
