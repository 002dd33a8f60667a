// Keeps what was opened of this site, so that it opens again without a network. Only files of this very
// build are kept: each is compared with its digest. What the network gives always comes first.
const FILES = {};
const EDITION = "";

const ROOT = self.registration.scope;
const OURS = "coldfringe " + ROOT + " ";
const SHELF = OURS + EDITION;
// The pages that came from the shelf; what they load comes from there too, so that no two builds mix.
const fromShelf = new Set();

// The file of the site that an address names; none for any other address.
const fileOf = (address) => {
    if (!address.startsWith(ROOT)) {
        return undefined;
    }
    const path = address.slice(ROOT.length).replace(/[?#].*$/, "");
    const file = path === "" || path.endsWith("/") ? path + "index.html" : path;
    return Object.hasOwn(FILES, file) ? file : undefined;
};

const isOfThisBuild = async (file, bytes) => {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const digits = Array.from(digest.subarray(0, 8), (byte) => byte.toString(16).padStart(2, "0"));
    return digits.join("") === FILES[file];
};

const kept = async (file) => (await caches.open(SHELF)).match(ROOT + file);

const keep = async (file, answer) => {
    if (!answer.ok || (await kept(file))) {
        return;
    }
    const bytes = await answer.arrayBuffer();
    if (!(await isOfThisBuild(file, bytes))) {
        // Another build has come: its own keeper takes over.
        await self.registration.update();
        return;
    }
    // Without an address of its own it takes the one that was asked for, which tells a worker what to load.
    const copy = new Response(bytes, { headers: { "content-type": answer.headers.get("content-type") || "" } });
    await (await caches.open(SHELF)).put(ROOT + file, copy);
};

const answer = async (event, file) => {
    if (fromShelf.has(event.clientId)) {
        const copy = await kept(file);
        if (copy) {
            return copy;
        }
    }
    try {
        const fresh = await fetch(event.request);
        event.waitUntil(keep(file, fresh.clone()).catch(() => {}));
        return fresh;
    } catch (error) {
        const copy = await kept(file);
        if (!copy) {
            throw error;
        }
        if (event.request.mode === "navigate") {
            fromShelf.add(event.resultingClientId);
        }
        return copy;
    }
};

self.addEventListener("install", () => self.skipWaiting());

// What earlier builds kept goes.
self.addEventListener("activate", (event) => {
    const tidy = async () => {
        const names = await caches.keys();
        const old = names.filter((name) => name.startsWith(OURS) && name !== SHELF);
        await Promise.all(old.map((name) => caches.delete(name)));
        await self.clients.claim();
    };
    event.waitUntil(tidy());
});

self.addEventListener("fetch", (event) => {
    const file = event.request.method === "GET" ? fileOf(event.request.url) : undefined;
    if (file !== undefined) {
        event.respondWith(answer(event, file));
    }
});

// A page tells what it uses; some of it was fetched before anybody could keep it.
self.addEventListener("message", (event) => {
    const take = async (address) => {
        const file = fileOf(address);
        if (file !== undefined && !(await kept(file))) {
            await keep(file, await fetch(address, { cache: "no-cache" }));
        }
    };
    event.waitUntil(Promise.allSettled(event.data.map(take)));
});
