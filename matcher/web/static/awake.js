// Keeps the screen on while she knits from it, where the browser can; a switch says whether it does. And says aloud
// what is next once a row is done.
"use strict";

(() => {
  let held = null;
  let wanted = sessionStorage.getItem("matcher-awake") !== "off";

  const shown = () => {
    const place = document.getElementById("awake");
    const key = document.getElementById("keep-awake");
    if (!place || !key) return null;
    if (!("wakeLock" in navigator)) {
      document.getElementById("awake-not").hidden = false;
      return null;
    }
    place.hidden = false;
    key.setAttribute("aria-checked", held ? "true" : "false");
    key.textContent = held ? "The screen stays on" : "Keep the screen on";
    return key;
  };
  const keep = async () => {
    if (!shown() || held || !wanted || document.visibilityState !== "visible") return;
    try {
      held = await navigator.wakeLock.request("screen");
      held.addEventListener("release", () => {
        held = null;
        shown();
      });
    } catch {
      held = null; // a low battery, or a page that isn't safe enough: the screen goes off as usual
    }
    shown();
  };
  const ready = () => {
    shown();
    keep();
  };
  const aloud = () => {
    // The page came anew; what is next is read aloud from a place that stayed.
    const told = document.getElementById("told");
    const now = document.querySelector(".now");
    if (told && now) told.textContent = now.textContent.replace(/\s+/g, " ").trim();
  };

  document.addEventListener("click", (event) => {
    if (!event.target.closest("#keep-awake")) return;
    wanted = !held;
    sessionStorage.setItem("matcher-awake", wanted ? "on" : "off");
    if (held) held.release();
    else keep();
  });
  document.addEventListener("visibilitychange", keep); // it is let go when she looks at something else
  document.addEventListener("htmx:afterSettle", () => {
    ready();
    aloud();
  });
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", ready);
  else ready();
})();
