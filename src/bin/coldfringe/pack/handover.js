// In a package for a course system: looks for the system's run-time in the windows around the page. If there is one, the
// work is kept there instead of in this browser, and how far it has come is told. If there is none, the page is as any other.
const coldfringeHandOver = (is2004) => {
    const words = is2004
        ? {
            api: "API_1484_11", initialize: "Initialize", get: "GetValue", set: "SetValue", commit: "Commit",
            terminate: "Terminate", error: "GetLastError", status: "cmi.completion_status", score: "cmi.score.",
            exit: "cmi.exit", time: "cmi.session_time", room: 64000,
        }
        : {
            api: "API", initialize: "LMSInitialize", get: "LMSGetValue", set: "LMSSetValue", commit: "LMSCommit",
            terminate: "LMSFinish", error: "LMSGetLastError", status: "cmi.core.lesson_status", score: "cmi.core.score.",
            exit: "cmi.core.exit", time: "cmi.core.session_time", room: 4096,
        };
    const RECORD = "coldfringe.record";
    const MIRROR = "coldfringe.course-system";
    // Not at every stroke: a course system may take its time over each.
    const PAUSE = 10000;
    const began = performance.now();
    const items = new Map();
    let api, isOpen = false, packed = null, isPacking = false, isStale = false, best = 0, told = "", last = -PAUSE;

    // Asked for each time: the page of an assignment puts a fresh one in its place.
    const main = () => document.querySelector("main");

    const above = (from) => {
        let place = from;
        for (let step = 0; place && step < 100; step++) {
            try {
                if (place[words.api]) {
                    return place[words.api];
                }
            } catch {
                // A window of another site does not say what it holds; one above it may.
            }
            place = place.parent === place ? null : place.parent;
        }
        return null;
    };
    const find = () => {
        try {
            return above(window) || above(window.opener) || above(window.top.opener);
        } catch {
            return null;
        }
    };
    const call = (name, ...rest) => {
        try {
            return String(api[words[name]](...rest));
        } catch {
            return "false";
        }
    };
    const set = (element, value) => call("set", element, String(value)) === "true";

    const through = async (bytes, stream) =>
        new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());
    const pack = async (whole) => {
        const bytes = await through(JSON.stringify(whole), new CompressionStream("deflate-raw"));
        return "cf1." + btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
    };
    const unpack = async (text) => {
        if (text.startsWith("cf0.")) {
            return JSON.parse(text.slice(4));
        }
        if (!text.startsWith("cf1.")) {
            throw new Error("another form");
        }
        const bytes = Uint8Array.from(atob(text.slice(4)), (letter) => letter.charCodeAt(0));
        return JSON.parse(new TextDecoder().decode(await through(bytes, new DecompressionStream("deflate-raw"))));
    };

    // What the page keeps, smaller and smaller: all of it; then only this lesson's present attempt, without what repeats;
    // then only what was committed and tried.
    const forms = function* () {
        const whole = Object.fromEntries(items);
        yield whole;
        try {
            const record = JSON.parse(whole[RECORD]);
            const slug = main().dataset.lesson;
            const { attempts, here } = record.lessons[slug];
            const attempt = attempts[attempts.length - 1];
            for (const isLess of [false, true]) {
                for (const [id, block] of Object.entries(attempt.blocks)) {
                    if (block.committed) {
                        delete block.draft;
                    }
                    if (isLess) {
                        delete block.draft;
                        delete block.sliders;
                        if (!block.committed && !block.tries) {
                            delete attempt.blocks[id];
                        }
                    }
                }
                yield { [RECORD]: JSON.stringify({ ...record, lessons: { [slug]: { attempts: [attempt], here } }, lectures: undefined }) };
            }
        } catch {
            // No record of a lesson: there is nothing smaller.
        }
    };

    // The share that is done: of a lesson its predictions and questions, of an assignment its points and its questions.
    const progress = () => {
        const of = (name) => Number(main().dataset[name]) || 0;
        if (main().dataset.workbook) {
            return [of("points") / (of("pointsOf") || 1), of("doneOf") > 0 && of("done") >= of("doneOf")];
        }
        const tasks = [...main().querySelectorAll("[data-island=predict],[data-island=observe],[data-island=question]")];
        let blocks = {};
        try {
            const attempts = JSON.parse(items.get(RECORD)).lessons[main().dataset.lesson].attempts;
            blocks = attempts[attempts.length - 1].blocks;
        } catch {
            // Nothing was done yet.
        }
        const done = tasks.filter((task) => {
            const block = blocks[task.dataset.blockId] || {};
            return block.committed || (block.tries || []).length > 0;
        });
        return [tasks.length > 0 ? done.length / tasks.length : 0, tasks.length > 0 && done.length === tasks.length];
    };

    const say = (text) => {
        let place = document.getElementById("course-system");
        if (!place) {
            place = document.createElement("p");
            place.id = "course-system";
            place.className = "go-on";
            (main().querySelector(".minutes") || main().querySelector("h1")).after(place);
        }
        if (place.textContent !== text) {
            place.textContent = text;
        }
    };
    const what = () => main().dataset.workbook
        ? "how many points this assignment has by now"
        : "how much of this lesson you have done";
    const sayAll = (isWhole) => {
        const score = `${Math.round(100 * best)} %`;
        say(`This page was opened from a course system. It is told ${what()} (so far ${score}), how long the page was open, and \
what you have typed and answered, so that you can go on later. Nothing else is sent. When this tab is closed, nothing stays in this browser.`
            + (isWhole ? "" : " Your work has grown larger than the course system takes, so it has not all of it: save it to a file before you leave."));
    };
    const lost = (text) => {
        isOpen = false;
        say(`${text} What you do is kept in this tab only: save it to a file before you leave, or close this page and open it \
from the course again.`);
    };

    const time = () => {
        const seconds = Math.floor((performance.now() - began) / 1000);
        const [hours, minutes, rest] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
        if (is2004) {
            return `PT${hours}H${minutes}M${rest}S`;
        }
        const two = (number) => String(number).padStart(2, "0");
        return `${String(Math.min(hours, 9999)).padStart(4, "0")}:${two(minutes)}:${two(rest)}`;
    };
    // Tells the course system all that is known now, at once.
    const tell = () => {
        if (!isOpen) {
            return;
        }
        const [share, isDone] = progress();
        best = Math.max(best, Math.min(share, 1));
        const raw = Math.round(100 * best);
        if (isPacking || isStale) {
            // The page is about to go: what is not packed yet goes as it is, if there is room.
            const plain = "cf0." + JSON.stringify(Object.fromEntries(items)).replace(/[^ -~]/g,
                (letter) => "\\u" + letter.charCodeAt(0).toString(16).padStart(4, "0"));
            packed = plain.length <= words.room ? plain : packed;
        }
        let isTaken = packed === null || set("cmi.suspend_data", packed);
        isTaken = set(words.score + "min", 0) && set(words.score + "max", 100) && set(words.score + "raw", raw) && isTaken;
        if (is2004) {
            isTaken = set(words.score + "scaled", raw / 100) && set("cmi.progress_measure", raw / 100) && isTaken;
        }
        if (isDone || !["completed", "passed", "failed"].includes(call("get", words.status))) {
            isTaken = set(words.status, isDone ? "completed" : "incomplete") && isTaken;
        }
        isTaken = set(words.time, time()) && isTaken;
        isTaken = call("commit", "") === "true" && isTaken;
        last = performance.now();
        told = `${share} ${isDone}`;
        if (!isTaken) {
            say(`The course system did not take what it was told (its number for that: ${call("error")}). It is told again when \
you go on. Until then your work is kept in this tab only: you can save it to a file.`);
        }
        return isTaken;
    };
    // Packs what is kept and tells it: at once when something was answered, else now and then.
    const changed = async () => {
        mirror();
        if (items.size === 0) {
            // All was deleted: at once, for the page may be loaded anew.
            packed = "";
        }
        isStale = isOpen;
        if (isPacking || !isOpen) {
            return;
        }
        isPacking = true;
        let isWhole = true;
        while (isStale) {
            isStale = false;
            let fits = false;
            isWhole = true;
            for (const form of forms()) {
                const text = await pack(form);
                if (text.length <= words.room) {
                    packed = text;
                    fits = true;
                    break;
                }
                isWhole = false;
            }
            isWhole = isWhole && fits;
        }
        isPacking = false;
        if (progress().join(" ") !== told || performance.now() - last > PAUSE) {
            if (tell()) {
                sayAll(isWhole);
            }
        }
    };
    // The same once more in this tab, for a reload that the course system does not take for a new start.
    const mirror = () => {
        try {
            window.sessionStorage.setItem(MIRROR, JSON.stringify([location.pathname, Object.fromEntries(items)]));
        } catch {
            // Then a reload begins with what the course system has.
        }
    };
    const mirrored = () => {
        try {
            const [path, all] = JSON.parse(window.sessionStorage.getItem(MIRROR));
            return path === location.pathname ? all : {};
        } catch {
            return {};
        }
    };
    const storage = {
        get length() {
            return items.size;
        },
        key: (place) => [...items.keys()][place] ?? null,
        getItem: (key) => items.get(key) ?? null,
        setItem: (key, text) => {
            items.set(key, String(text));
            changed();
        },
        removeItem: (key) => {
            if (items.delete(key)) {
                changed();
            }
        },
    };

    const begin = async () => {
        api = find();
        if (!api) {
            return;
        }
        for (const place of document.querySelectorAll("[data-role=kept-where]")) {
            place.textContent = "Your work is kept by the course system.";
        }
        // There is no other place to keep it.
        for (const tick of document.querySelectorAll("[data-role=forget]")) {
            tick.closest("label").hidden = true;
        }
        Object.defineProperty(window, "localStorage", { value: storage });
        if (call("initialize", "") !== "true") {
            Object.entries(mirrored()).forEach(([key, text]) => items.set(key, text));
            lost(`The course system does not answer (its number for that: ${call("error")}).`);
            return;
        }
        isOpen = true;
        const score = Number.parseFloat(call("get", words.score + "raw"));
        best = score >= 0 && score <= 100 ? score / 100 : 0;
        const kept = call("get", "cmi.suspend_data");
        let isRead = true;
        if (kept && kept !== "false" && kept !== "null") {
            try {
                Object.entries(await unpack(kept)).forEach(([key, text]) => items.set(key, String(text)));
                packed = kept;
            } catch {
                isRead = false;
                items.set("coldfringe.put-aside", kept);
            }
        }
        // Without this the system would throw away what it keeps.
        set(words.exit, "suspend");
        mirror();
        if (tell()) {
            sayAll(true);
        }
        if (!isRead) {
            say("What the course system has kept of your work here could not be read. You begin anew; what it was comes along when \
you save your work to a file.");
        }
        // The points of an assignment stand on the page.
        const watch = { subtree: true, attributeFilter: ["data-points", "data-done"] };
        new MutationObserver(changed).observe(document.body, watch);
        document.addEventListener("visibilitychange", () => document.hidden && tell());
        window.addEventListener("pagehide", () => {
            if (isOpen) {
                tell();
                call("terminate", "");
                isOpen = false;
            }
        });
        window.addEventListener("pageshow", (event) => event.persisted && lost("The course system has closed this page."));
    };
    const bring = window.coldfringeBrought;
    window.coldfringeBrought = async () => {
        await begin();
        return bring();
    };
};
