// Small things that make pages quicker; every page works without them.
"use strict";

// The menu of further pages closes with Escape, and when something else is pressed.
document.addEventListener("keydown", (event) => {
  const open = document.querySelector("details.more[open]");
  if (event.key === "Escape" && open) {
    open.open = false;
    open.querySelector("summary").focus();
  }
});
document.addEventListener("click", (event) => {
  const open = document.querySelector("details.more[open]");
  if (open && !open.contains(event.target)) open.open = false;
});

// Where messages above went away, what was pressed is brought back under the finger.
document.addEventListener("htmx:afterSettle", () => {
  const had = document.activeElement;
  const pressed = had && had.id && had !== document.body ? had : document.getElementById("step-on");
  if (!pressed) return;
  const { top, bottom } = pressed.getBoundingClientRect();
  if (bottom < 0 || top > window.innerHeight) pressed.scrollIntoView({ block: "center" });
});

// What was said after a change is brought to where it is read aloud and seen.
document.addEventListener("DOMContentLoaded", () => {
  const said = document.querySelector(".messages .message");
  if (said) said.scrollIntoView({ block: "nearest" });
});
