try {
    const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
    const whole = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    await wasm_bindgen({ module_or_path: await new Response(whole).arrayBuffer() });
    self.onmessage = (event) => wasm_bindgen.coldfringe_order(event.data);
    early.forEach((message) => wasm_bindgen.coldfringe_order(message));
} catch (error) {
    // No number of a job: the page takes this worker for lost.
    self.postMessage([JSON.stringify({ lost: String(error) })]);
}
})(...Array(2).fill(globalThis.coldfringeScope ?? globalThis));
