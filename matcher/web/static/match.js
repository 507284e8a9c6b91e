// A lot that is tapped for one colour leaves the other colour that had it, which takes what was there before.
"use strict";
(() => {
  const form = document.getElementById("roles");
  if (!form) return;
  const before = new Map();
  const remember = () => {
    for (const one of form.querySelectorAll("input[type=radio]:checked")) before.set(one.name, one.value);
  };
  remember();
  // Heard before the form sends itself, so that what is sent is the exchange.
  form.addEventListener("change", (event) => {
    const tapped = event.target;
    if (tapped.type !== "radio") return;
    const left = before.get(tapped.name);
    for (const other of form.querySelectorAll("input[type=radio]:checked")) {
      if (other.name === tapped.name || other.value !== tapped.value) continue;
      const instead = [...form.querySelectorAll("input[type=radio]")].find((one) => one.name === other.name && one.value === left);
      if (instead) instead.checked = true;
    }
    remember();
  }, true);
})();
