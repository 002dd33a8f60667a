// Times the worker's pieces of work under Node, on the very files that a browser fetches:
//     cargo run --release -- build --out target/site && node benches/in_node.mjs [target/site/assets]
import { readdirSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const assets = resolve(process.argv[2] ?? "target/site/assets");
const named = (ending) => {
    const name = readdirSync(assets).find((name) => name.startsWith("coldfringe-worker-") && name.endsWith(ending));
    if (!name) {
        throw new Error(`${assets} holds no coldfringe-worker-*${ending}: build the site first`);
    }
    return resolve(assets, name);
};
const physics = await import("data:text/javascript," + encodeURIComponent(readFileSync(named(".js"), "utf8")))
    .catch(() => import(pathToFileURL(named(".js"))));
await physics.default({ module_or_path: readFileSync(named(".wasm")) });
for (const kernel of physics.coldfringe_kernels()) {
    // Once to warm up; then as often as fits into two seconds, and the best of it.
    const first = physics.coldfringe_measure(kernel, 1);
    if (first === undefined) {
        console.log(`${kernel}: not in this build`);
        continue;
    }
    const times = [];
    const until = performance.now() + 2000;
    do {
        times.push(physics.coldfringe_measure(kernel, 1));
    } while (performance.now() < until);
    times.sort((one, other) => one - other);
    console.log(`${kernel}: fastest ${times[0].toFixed(3)} ms, median ${times[times.length >> 1].toFixed(3)} ms (${times.length} times)`);
}
