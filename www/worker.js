// The worker that computes behind the page: loads the compiled physics, which its address names,
// and hands every message over. Messages that come while it loads wait.
const early = [];
self.onmessage = (event) => early.push(event.data);
try {
    const bundle = new URL(self.location.href).searchParams.get("bundle");
    const physics = await import("./" + bundle + ".js");
    await physics.default({ module_or_path: new URL("./" + bundle + ".wasm", import.meta.url) });
    self.onmessage = (event) => physics.coldfringe_order(event.data);
    early.forEach((message) => physics.coldfringe_order(message));
} catch (error) {
    // No number of a job: the page takes this worker for lost.
    self.postMessage([JSON.stringify({ lost: String(error) })]);
}
