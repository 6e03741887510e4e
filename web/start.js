// Starts the page. A file of its own, since the page allows no scripts inside it.
import init, { start_app } from "./web.js";

// How long a new build may take to answer before the page starts without it, ms.
const PATIENCE_MS = 1000;

const workers = navigator.serviceWorker;
const registered = await workers?.getRegistration().catch(() => null);
if (workers?.controller && registered?.waiting && (await takesOver(registered.waiting))) {
  location.reload();
} else {
  await init();
  start_app();
  performance.mark("usable");
  await keepForOffline();
}

// Whether a new build that waits takes over: where no other tab is open.
function takesOver(waiting) {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => resolve(false);
    setTimeout(resolve, PATIENCE_MS, false);
    workers.addEventListener("controllerchange", () => resolve(true), { once: true });
    waiting.postMessage("take over", [port2]);
  });
}

// Keeps the page for opening without a network, and tells it of a new build. A
// browser that refuses, as in private windows, only means that it is not kept.
async function keepForOffline() {
  // The first build that is kept is no news.
  const keptBefore = Boolean(workers?.controller);
  const tell = () => keptBefore && window.dispatchEvent(new Event("new-build"));
  const registration = await workers?.register("offline.js").catch(() => null);
  if (registration?.waiting) tell();
  registration?.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming?.addEventListener("statechange", () => coming.state === "installed" && tell());
  });
}
