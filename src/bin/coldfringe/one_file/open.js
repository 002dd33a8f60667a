// In a page that is one file: unpacks the notebook that the page brings along, and has slow set-ups computed by workers
// made from the page's own text. Where the browser lets none start, the same text runs on the page's thread, in slices.
(() => {
    const textOf = (name) => document.getElementById(name).textContent;
    const unpack = (packed) => {
        const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
        const whole = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
        return new Response(whole).arrayBuffer();
    };
    const handOver = (Real, address) => class extends EventTarget {
        #worker;
        #isHere = false;
        // What was sent while nothing was heard yet: sent again if this worker turns out not to start.
        #early = [];
        constructor() {
            super();
            try {
                this.#worker = new Real(address);
                this.#worker.onmessage = (event) => this.#hear(event.data);
                this.#worker.onerror = (event) => {
                    event.preventDefault();
                    this.#break();
                };
            } catch {
                this.#work();
            }
        }
        postMessage(message, handed) {
            if (this.#early) {
                this.#early.push(message);
                this.#worker.postMessage(message);
            } else {
                this.#worker.postMessage(message, handed);
            }
        }
        terminate() {
            this.#worker.terminate();
        }
        #hear(data) {
            if (this.#early && !this.#isHere && data.length === 1) {
                this.#break();
                return;
            }
            this.#early = null;
            this.dispatchEvent(new MessageEvent("message", { data }));
        }
        #break() {
            if (this.#early && !this.#isHere) {
                this.#worker.terminate();
                this.#work();
            } else {
                this.dispatchEvent(new Event("error", { cancelable: true }));
            }
        }
        #work() {
            let isOver = false;
            const scope = {
                postMessage: (data) => {
                    if (isOver) {
                        throw new Error("this work was ended");
                    }
                    setTimeout(() => isOver || this.#hear(data));
                },
            };
            this.#isHere = true;
            this.#worker = {
                postMessage: (data) => setTimeout(() => isOver || scope.onmessage({ data })),
                terminate: () => {
                    isOver = true;
                },
            };
            const script = document.createElement("script");
            script.textContent = textOf("coldfringe-worker");
            window.coldfringeScope = scope;
            document.body.append(script);
            script.remove();
            delete window.coldfringeScope;
            document.documentElement.dataset.computes = "here";
            this.#early.forEach((message) => this.#worker.postMessage(message));
        }
    };
    window.coldfringeBrought = async () => {
        const meta = document.querySelector("meta[name=coldfringe-worker]");
        if (meta) {
            const text = new Blob([textOf("coldfringe-worker")], { type: "text/javascript" });
            meta.content = URL.createObjectURL(text);
            window.Worker = handOver(window.Worker, meta.content);
        }
        await wasm_bindgen({ module_or_path: await unpack(textOf("coldfringe-wasm")) });
        return wasm_bindgen;
    };
})();
