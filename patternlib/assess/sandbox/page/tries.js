// What must not be possible from the page's side of the browser's Python: each try is made in several ways,
// and the first that gives something counts. tries.py calls it; what happened outside is looked at there.
({
  reach: async (given) => {
    // a refusal that comes late must not keep the next try from being made
    globalThis.addEventListener("error", (event) => event.preventDefault());
    globalThis.addEventListener("unhandledrejection", (event) => event.preventDefault());
    const fs = await import("node:fs");
    const process = await import("node:process");
    const address = `http://127.0.0.1:${given.tcp}`;
    const later = (milliseconds) => new Promise((go) => setTimeout(go, milliseconds));
    const ways = {
      reading: [
        () => Deno.readTextFileSync(given.read),
        () => fs.readFileSync(given.read, "utf8"),
        async () => (await fetch(`file://${given.read}`)).text(),
        async () => (await import(`file://${given.read}`)).default,
      ],
      finding: [() => Deno.statSync(given.read).size, () => fs.statSync(given.read).size],
      writing: [
        () => Deno.writeTextFileSync(given.write, "written"),
        () => fs.writeFileSync(given.write, "written"),
        () => Deno.makeTempFileSync(),
      ],
      emptying: [
        () => Deno.truncateSync(given.empty, 0),
        () => fs.truncateSync(given.empty, 0),
        () => Deno.removeSync(given.empty),
      ],
      tcp: [
        () => Deno.connect({ hostname: "127.0.0.1", port: given.tcp }),
        () => fetch(address),
        () => import(`${address}/a.js`),
        () => {
          const worker = new Worker(`${address}/a.js`, { type: "module" });
          worker.onerror = (event) => event.preventDefault();
        },
        () => new WebSocket(address.replace("http", "ws")),
        async () => (await import("node:net")).connect(given.tcp, "127.0.0.1").on("error", () => {}),
      ],
      udp: [
        () =>
          Deno.listenDatagram({ hostname: "127.0.0.1", port: 0, transport: "udp" }).send(new Uint8Array(1), {
            hostname: "127.0.0.1",
            port: given.udp,
            transport: "udp",
          }),
        async () =>
          (await import("node:dgram")).createSocket("udp4").send("x", given.udp, "127.0.0.1", () => {}),
      ],
      seeing: [
        () => Deno.readTextFileSync(`/proc/${given.victim}/cmdline`),
        () => process.kill(given.victim, 0),
      ],
      environment: [() => Deno.env.get("HOME"), () => JSON.stringify(Deno.env.toObject())],
      ending: [() => Deno.kill(given.victim, "SIGKILL"), () => process.kill(given.victim, "SIGKILL")],
    };
    const found = {};
    for (const [name, tried] of Object.entries(ways)) {
      for (const way of tried) {
        try {
          found[name] ??= String((await Promise.race([way(), later(2000)])) ?? "") || null;
        } catch {
          found[name] ??= null;
        }
      }
    }
    await later(300);
    return JSON.stringify(found);
  },
  storm: async (program) => {
    const waiting = ["-I", "-S", "-c", "import time; time.sleep(3)"];
    const { spawn } = await import("node:child_process");
    let begun = 0;
    for (let i = 0; i < 70; i++) {
      try {
        new Deno.Command(program, { args: waiting }).spawn();
        begun++;
      } catch {
        try {
          begun += spawn(program, waiting).pid ? 1 : 0;
        } catch {}
      }
    }
    return begun;
  },
  hoard: () => {
    const held = [];
    for (let i = 0; i < 42; i++) held.push(new Uint8Array(100_000_000).fill(1));
    return held.length * 100_000_000;
  },
});
