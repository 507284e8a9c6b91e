// Sorting by keyboard: after a decision the next card has the focus; while something in the card has it, numbers press
// its buttons.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  const card = document.getElementById("card");
  if (!card) return;
  const keys = card.querySelector(".pile-keys");
  const buttons = [...card.querySelectorAll("button[name=decide]")];
  if (keys && buttons.length) keys.hidden = false;
  if (document.querySelector(".messages .message") && buttons.length) buttons[0].focus();
  card.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !/^\d$/.test(event.key)) return;
    const skip = card.querySelector("a.button");
    const pressed = event.key === "0" ? skip : buttons[Number(event.key) - 1];
    if (pressed) {
      event.preventDefault();
      pressed.click();
    }
  });
});
