// Has this page kept for when there is no network: hands what it uses to the site's keeper, `sw.js`.
// Browsers allow that on https and on the machine itself only; elsewhere nothing happens.
(() => {
    const root = new URL("../", document.currentScript.src);
    let keepers;
    try {
        keepers = navigator.serviceWorker;
    } catch {
        // A frame that is shut off from its host has none.
    }
    if (!keepers) {
        return;
    }
    const used = () => {
        const addresses = [location.href];
        document.querySelectorAll("head link[href]").forEach((link) => addresses.push(link.href));
        document.querySelectorAll("script[src]").forEach((script) => addresses.push(script.src));
        performance.getEntriesByType("resource").forEach((entry) => addresses.push(entry.name));
        // What computes in the background may not have been needed yet.
        const background = document.querySelector("meta[name=coldfringe-worker]");
        if (background) {
            const worker = new URL(background.content, document.baseURI);
            const parts = new URL(worker.searchParams.get("bundle"), worker).href;
            addresses.push(worker.href, parts + ".js", parts + ".wasm");
        }
        return [...new Set(addresses)];
    };
    const hand = () => keepers.controller && keepers.controller.postMessage(used());
    keepers.addEventListener("controllerchange", hand);
    window.addEventListener("load", () => {
        hand();
        // Browsers look for another build by themselves, but some only after a long while.
        keepers.register(new URL("sw.js", root)).then((keeper) => keeper.update()).catch(() => {});
    });
})();
