// What is chosen is laid side by side at once; without this, the button does it.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  const form = document.getElementById("choose");
  let asked = 0;
  form.addEventListener("change", async (event) => {
    const narrows = event.target.name.startsWith("only_");
    const query = new URLSearchParams(new FormData(form));
    for (const [name, text] of [...query]) if (!text) query.delete(name, text);
    const address = `/colours?${query}`;
    if (narrows) {
      location.assign(address);
      return;
    }
    const mine = ++asked;
    const answer = await fetch(address, { headers: { Accept: "text/html" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine !== asked || !page.getElementById("side")) return; // something was chosen since
    document.getElementById("side").replaceWith(page.getElementById("side"));
    document.getElementById("told").textContent = page.getElementById("told").textContent;
    history.replaceState(null, "", address);
  });
});
