// Starts the notebook: marks the page as live, so that what stands after a prediction is shut,
// and wakes the compiled part. If that fails the mark is taken off and the page reads as text.
(() => {
    const root = document.documentElement;
    root.classList.add("live");
    const fail = (reason) => {
        root.classList.remove("live");
        root.dataset.state = "failed";
        const place = document.getElementById("trouble");
        if (place) {
            place.textContent = "The notebook could not start, so this page is for reading only. Reloading may help. (" + reason + ")";
            place.hidden = false;
        }
    };
    // A mistake in the running notebook: what was done is kept at every change, so a new start mends it.
    const stop = (event) => {
        if (root.dataset.state !== "ready" || !(event.error || event.reason)) {
            return;
        }
        root.dataset.state = "stopped";
        const place = document.getElementById("trouble");
        if (place) {
            place.textContent = "The notebook has stopped because of a mistake in it. Your work is kept: reload the page to go on.";
            place.hidden = false;
        }
    };
    window.addEventListener("error", stop);
    window.addEventListener("unhandledrejection", stop);
    const fetched = async () => {
        const glue = document.querySelector("link[data-glue]").href;
        const wasm = document.querySelector("link[data-wasm]").href;
        const notebook = await import(glue);
        await notebook.default({ module_or_path: wasm });
        return notebook;
    };
    const start = async () => {
        try {
            // A page in one file brings the notebook along.
            const notebook = await (window.coldfringeBrought || fetched)();
            notebook.coldfringe_start();
            // Formulas change their width when their letters arrive: look again which must scroll.
            const look = () => window.dispatchEvent(new Event("resize"));
            document.fonts.addEventListener("loadingdone", look);
            document.fonts.ready.then(look);
        } catch (error) {
            if (root.dataset.state !== "stopped") {
                fail(error && error.message ? error.message : String(error));
            }
        }
    };
    if (document.readyState === "loading") {
        document.addEventListener("DOMContentLoaded", start);
    } else {
        start();
    }
})();
