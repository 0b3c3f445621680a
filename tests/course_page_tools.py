"""A built course page on a web server of this machine, and a browser that reaches no other address."""

from __future__ import annotations

import functools
import gzip
import http.server
import threading
import time
from pathlib import Path
from urllib.parse import unquote, urlsplit

from playwright.sync_api import BrowserContext, Page

READY = """() => {
  const context = globalThis.jupyterapp?.shell.currentWidget?.context;
  return context?.sessionContext.session?.kernel?.status === "idle";
}"""
"""Whether Python is ready for the notebook that is open."""
CELLS = """() => {
  const cells = [...jupyterapp.shell.currentWidget.content.model.cells].filter((c) => c.type === "code");
  const outputs = (c) => [...Array(c.outputs.length).keys()].map((k) => c.outputs.get(k).toJSON());
  const error = (c) => outputs(c).filter((o) => o.output_type === "error")
    .map((o) => `${o.ename}: ${o.evalue}`).join(" ");
  return cells.map((c) => [c.executionCount, c.sharedModel.source.split("\\n")[0], error(c)]);
}"""
"""[how often it ran, first line, error] of each cell of code."""


class Handler(http.server.SimpleHTTPRequestHandler):
    extensions_map = {  # noqa: RUF012
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
    }

    def do_GET(self) -> None:
        self.server.asked.append(unquote(urlsplit(self.path).path).lstrip("/"))  # type: ignore[attr-defined]
        super().do_GET()

    def log_message(self, *_) -> None:
        pass


class Server:
    """A page on a port of 127.0.0.1, in a folder of the web space as a school has it."""

    def __init__(self, page: Path) -> None:
        self.page, folder = page, page.resolve().parent
        self.server = http.server.ThreadingHTTPServer(
            ("127.0.0.1", 0), functools.partial(Handler, directory=str(folder))
        )
        self.server.asked = []  # type: ignore[attr-defined]
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.url = f"http://127.0.0.1:{self.server.server_port}/{page.name}/"

    @property
    def asked(self) -> list[str]:
        """The paths that were asked for so far."""
        return self.server.asked  # type: ignore[attr-defined,no-any-return]

    def sent(self) -> tuple[int, float]:
        """How many files were asked for, and their size in MB, compressed."""
        names = [name.removeprefix(f"{self.page.name}/") for name in self.asked]
        paths = [self.page / (name or "index.html") for name in names]
        files = [path for path in paths if path.is_file()]
        sizes = {path: len(gzip.compress(path.read_bytes(), 6)) for path in set(files)}
        return len(files), sum(sizes[path] for path in files) / 1e6

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()


class Visit:
    """A browser's page at a server. Requests to other addresses are stopped and kept in `asked_elsewhere`."""

    def __init__(self, server: Server, context: BrowserContext, *, kept: bool = False) -> None:
        """kept: the browser keeps files between visits; then its own settings must stop other addresses."""
        self.server, self.url = server, server.url
        self.here = (f"{urlsplit(server.url).scheme}://{urlsplit(server.url).netloc}/", "data:", "blob:")
        self.asked_elsewhere: list[str] = []
        self.context = context
        if kept:
            context.on("request", self._noted)
        else:
            context.route("**/*", self._only_here)
        self.page: Page = context.new_page()

    def _noted(self, request) -> bool:
        here = request.url.startswith(self.here)
        if not here:
            self.asked_elsewhere.append(request.url)
        return here

    def _only_here(self, route) -> None:
        if self._noted(route.request):
            return route.continue_()
        return route.abort()

    def go(self, notebook: str) -> None:
        self.page.goto(f"{self.url}notebooks/index.html?path={notebook}")

    def ready(self) -> None:
        """Wait until the notebook is open and Python is ready."""
        self.page.wait_for_selector(".jp-Cell", timeout=120_000)
        self.page.wait_for_function(READY, timeout=240_000)

    def open(self, notebook: str) -> float:
        """Open a notebook; returns the seconds until Python is ready."""
        started = time.perf_counter()
        self.go(notebook)
        self.ready()
        return time.perf_counter() - started

    def run(self) -> list[list]:
        """Run all cells: [how often it ran, first line, error] of each cell of code."""
        self.page.evaluate("() => jupyterapp.commands.execute('notebook:run-all-cells')")
        return self.page.evaluate(CELLS)  # type: ignore[no-any-return]

    def save(self) -> None:
        self.page.evaluate("() => jupyterapp.commands.execute('docmanager:save')")

    def home(self) -> None:
        self.page.goto(self.url)
        self.page.wait_for_selector("#lessons a")

    def download(self, button: str, folder: Path) -> Path:
        with self.page.expect_download() as waited:
            self.page.click(button)
        path = folder / waited.value.suggested_filename
        waited.value.save_as(path)
        return path
