// Registers the service worker and tells the app how far the phone is ready for no signal. The app listens for
// "quarterlight-offline" on window (and finds the last word in window.quarterlightOffline, as it may start later):
//   unsupported  this browser or address cannot keep the app (http on another host than localhost)
//   preparing    the app's files are being fetched and checked
//   ready        every file is stored: the app opens with no network
//   update       a newer version is stored and waits to be taken over
//   failed       the files could not be stored; `detail.why` says why
// and calls window.quarterlightTakeOver() when the person accepts the newer version: the page reloads with it.
"use strict";

(() => {
  const tell = (state, why = "") => {
    window.quarterlightOffline = { state, why };
    dispatchEvent(new CustomEvent("quarterlight-offline", { detail: { state, why } }));
  };

  window.quarterlightTakeOver = () => {};
  if (!("serviceWorker" in navigator)) {
    tell("unsupported", window.isSecureContext ? "no service worker" : "not a secure address");
    return;
  }

  const container = navigator.serviceWorker;
  let takingOver = false;
  let why = "";
  container.addEventListener("message", (event) => {
    if (event.data?.kind !== "not-stored") return;
    why = String(event.data.why);
    // The worker's last words may come after the news of its end.
    if (window.quarterlightOffline?.state === "failed") tell("failed", why);
  });
  container.addEventListener("controllerchange", () => {
    // Only an accepted update reloads; the first worker takes control without disturbing the page.
    if (takingOver) location.reload();
  });

  const follow = (worker, registration) => {
    worker.addEventListener("statechange", () => {
      if (worker.state === "installed" && registration.active && worker !== registration.active) tell("update");
      else if (worker.state === "activated") tell("ready");
      else if (worker.state === "redundant" && worker !== registration.active) {
        // A version that works is not made worse by a newer one that did not arrive.
        if (registration.active && registration.active !== worker) tell(registration.waiting ? "update" : "ready", why);
        else tell("failed", why);
      }
    });
  };

  const register = async () => {
    try {
      const registration = await container.register("sw.js", { scope: "./", updateViaCache: "none" });
      window.quarterlightTakeOver = () => {
        takingOver = true;
        registration.waiting?.postMessage("take-over");
      };
      registration.addEventListener("updatefound", () => follow(registration.installing, registration));
      if (registration.installing) follow(registration.installing, registration);
      if (registration.waiting) tell("update");
      else if (registration.active) tell("ready");
      else tell("preparing");
    } catch (fault) {
      // With the server gone, registering fails although everything is stored already.
      const stored = await container.getRegistration("./").catch(() => undefined);
      if (stored?.active) tell("ready");
      else tell("failed", String(fault?.message ?? fault));
    }
  };
  register();
})();
