// Reloads the page when a lesson or a style has changed. Served only by `serve --watch`.
(async () => {
  const address = document.currentScript.src.replace(/assets\/reload\.js.*$/, "changes");
  // A site that was once hosted at this address may have left its keeper of pages here.
  const keepers = await (navigator.serviceWorker?.getRegistrations() ?? []);
  keepers.forEach((keeper) => keeper.unregister());
  let seen = "";
  for (;;) {
    try {
      const answer = await fetch(address + "?after=" + seen, { cache: "no-store" });
      const now = (await answer.text()).trim();
      if (answer.ok && seen !== "" && now !== seen) {
        location.reload();
        return;
      }
      seen = now;
    } catch {
      // The server is gone or starting; ask again in a second.
      await new Promise((done) => setTimeout(done, 1000));
    }
  }
})();
