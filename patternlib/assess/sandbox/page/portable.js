// One notebook's cells in the browser's Python, inside Deno: the order comes in by the standard input, a line
// break says that the cells begin, then comes what they gave. Deno lets nothing here but read the folders named.
import { pathToFileURL } from "node:url";

const [prepared, library, own, compile] = Deno.args;
const { loadPyodide } = await import(pathToFileURL(`${prepared}/python/pyodide.mjs`));
const none = () => {};
const python = await loadPyodide({
  indexURL: `${prepared}/python`,
  env: { HOME: "/home/pyodide", MPLBACKEND: "agg", PATTERNLIB_OWN_EXERCISES: own ? "/own" : "" },
});
python.setStdin({ error: true });
python.setStdout({ write: (part) => part.length });
python.setStderr({ write: (part) => part.length });
const compiledPackages = JSON.parse(Deno.readTextFileSync(`${prepared}/rerun.json`)).compiled;
await python.loadPackage(compiledPackages, { messageCallback: none, errorCallback: none });
python.mountNodeFS("/packages", `${prepared}/packages`);
python.mountNodeFS("/course/patternlib", library);
python.mountNodeFS("/compiled", `${prepared}/compiled`);
if (own) python.mountNodeFS("/own", own);
python.runPython(`
import sys
sys.path[:0] = ["/course", "/packages"]
sys.pycache_prefix = "/compiled"
sys.dont_write_bytecode = ${compile ? "False" : "True"}
`);
const child = python.pyimport("patternlib.assess.sandbox.child");
const order = await new Response(Deno.stdin.readable).text();

function write(text) {
  let left = new TextEncoder().encode(text);
  while (left.length) left = left.subarray(Deno.stdout.writeSync(left));
}

try {
  write(await child.answer.callPromising(order, () => write("\n")));
} catch (fault) {
  Deno.exit(fault.status ?? 1);
}
Deno.exit(0);
