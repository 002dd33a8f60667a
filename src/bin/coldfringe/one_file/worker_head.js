(async (self, globalThis, window) => {
const early = [];
self.onmessage = (event) => early.push(event.data);
