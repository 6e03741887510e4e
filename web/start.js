// Starts the page. A file of its own, since the page allows no scripts inside it.
import init, { start_app } from "./web.js";

// Held by every tab that has the page open, for as long as it is open.
const OPEN_LOCK = "fledge-open";

// How long other tabs may take to close, and a new build to take over, ms.
const PATIENCE_MS = 1000;

const workers = navigator.serviceWorker;
const registered = await workers?.getRegistration().catch(() => null);
if (workers?.controller && registered?.waiting && (await takesOver(registered.waiting))) {
  location.reload();
} else {
  navigator.locks?.request(OPEN_LOCK, { mode: "shared" }, () => new Promise(() => {}));
  const opening = document.querySelector(".opening");
  await init().catch((error) => {
    opening.textContent = opening.dataset.trouble;
    throw error;
  });
  opening.remove();
  start_app();
  performance.mark("usable");
  await keepForOffline();
}

// Whether a new build that waits takes over: where no other tab is open. The
// lock is had by one tab alone; a tab that was just closed still holds it for a
// moment.
async function takesOver(waiting) {
  const alone = { signal: AbortSignal.timeout(PATIENCE_MS) };
  await navigator.locks?.request(OPEN_LOCK, alone, () => ask(waiting)).catch(() => null);
  // Another tab may have asked it meanwhile; this one must not go on either way.
  return waiting.state !== "installed";
}

function ask(waiting) {
  return new Promise((resolve) => {
    setTimeout(resolve, PATIENCE_MS);
    waiting.addEventListener("statechange", resolve, { once: true });
    // A late take-over would put the new build's files under a tab of the old.
    waiting.postMessage({ takeOverBefore: Date.now() + PATIENCE_MS / 2 });
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
  // Without a network there is nothing new.
  await registration?.update().catch(() => {});
}
