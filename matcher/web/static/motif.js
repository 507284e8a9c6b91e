// The grid of a motif, drawn by finger, mouse or keys. Everything that is counted on it is asked of the page.
"use strict";
(() => {
  const form = document.getElementById("motif");
  if (!form) return;
  const find = (id) => document.getElementById(id);
  const [grid, text, counts, spoken] = [find("grid"), find("f-text"), find("counts"), find("m-said")];
  const most = Number(form.dataset.most);
  const state = { name: "", heads: {}, roles: [], rows: [], ink: 1 }; // rows: the bottom one first
  const past = [], ahead = [];
  let codes = {}, at = [0, 0], painting = null, timer = 0, ownText = false;

  const width = () => (state.rows.length ? state.rows[0].length : 0);
  const height = () => state.rows.length;
  const say = (words) => { spoken.textContent = words; };
  const roleOf = (sign) => (state.roles.find(([one]) => one === sign) || [sign, sign])[1];
  const copy = () => JSON.stringify([state.roles, state.rows, state.name]);

  // ---- from what the page told
  function take(told) {
    const given = JSON.parse(told.dataset.grid);
    codes = given.codes;
    return given;
  }
  function begin() {
    const told = find("told");
    if (!told) return show(false);
    const given = take(told);
    if (!given.rows.length) {
      find("m-large").hidden = false;
      return show(false);
    }
    Object.assign(state, { name: given.name, heads: given.heads, roles: given.roles, rows: given.rows });
    if (state.roles.length < 2) addRole();
    state.ink = Math.min(state.ink, state.roles.length - 1);
    build();
    floats(given.floats);
    show(true);
  }
  function show(drawn) {
    find("drawing").hidden = !drawn;
    if (!drawn) find("as-text").open = true;
  }

  // ---- to the text, and to be counted
  function written() {
    const used = state.roles.filter(([sign]) => state.rows.some((row) => row.includes(sign)));
    const lines = [`name: ${state.name.trim() || "my motif"}`, `roles: ${used.map((one) => one.join(" ")).join(", ")}`];
    for (const word of ["source", "how_obtained", "licence"]) if (state.heads[word]) lines.push(`${word}: ${state.heads[word]}`);
    return [...lines, "rows: top to bottom", "", ...[...state.rows].reverse(), ""].join("\n");
  }
  function drawn() {
    text.value = written();
    clearTimeout(timer);
    timer = setTimeout(() => form.dispatchEvent(new Event("drawn")), 150);
  }
  function keep() {
    past.push(copy());
    if (past.length > 300) past.shift();
    ahead.length = 0;
  }
  function back(from, to, words) {
    if (!from.length) return say("Nothing more");
    to.push(copy());
    [state.roles, state.rows, state.name] = JSON.parse(from.pop());
    build();
    drawn();
    say(words);
  }
  // Any change of the whole grid: kept to be taken back, shown, counted.
  function change(rows, words) {
    if (!rows.length || !rows[0].length || rows.length * rows[0].length > most || rows.length > 400 || rows[0].length > 400) {
      build();
      return say("That would be too large to draw");
    }
    keep();
    state.rows = rows;
    build();
    drawn();
    say(`${words}: ${width()} stitches, ${height()} rows`);
  }

  // ---- the grid on the page
  function build() {
    find("m-name").value = state.name;
    find("m-width").value = width();
    find("m-height").value = height();
    at = [Math.min(at[0], height() - 1), Math.min(at[1], width() - 1)];
    const body = document.createElement("tbody");
    for (let row = height() - 1; row >= 0; row--) {
      const line = body.insertRow();
      line.setAttribute("role", "row");
      for (let column = 0; column < width(); column++) {
        const cell = line.insertCell();
        cell.setAttribute("role", "gridcell");
        cell.dataset.at = `${row},${column}`;
        if ((width() - column) % 10 === 0) cell.classList.add("ten");
        if ((row + 1) % 10 === 0) cell.classList.add("ten-up");
      }
      const number = document.createElement("th");
      number.scope = "row";
      number.setAttribute("role", "rowheader");
      number.innerHTML = `<span>${row + 1}</span> <small></small>`;
      line.append(number);
    }
    grid.replaceChildren(body);
    palette();
    for (let row = 0; row < height(); row++) for (let column = 0; column < width(); column++) dress(row, column);
    reach(at[0], at[1], false);
  }
  const cellAt = (row, column) => grid.rows[height() - 1 - row]?.cells[column];
  function dress(row, column) {
    const cell = cellAt(row, column), sign = state.rows[row][column];
    const place = state.roles.findIndex(([one]) => one === sign);
    cell.textContent = place > 0 ? sign : "";
    const colour = codes[roleOf(sign)] || greys(place);
    cell.style.backgroundColor = colour;
    cell.style.color = light(colour) ? "#000000" : "#ffffff";
    cell.setAttribute("aria-label", `row ${row + 1}, stitch ${width() - column}, ${roleOf(sign)}`);
  }
  function greys(place) {
    const one = Math.round(235 - (200 * place) / Math.max(1, state.roles.length - 1));
    return `#${one.toString(16).padStart(2, "0").repeat(3)}`;
  }
  function light(code) {
    const [r, g, b] = [1, 3, 5].map((from) => parseInt(code.slice(from, from + 2), 16));
    return 0.299 * r + 0.587 * g + 0.114 * b > 140;
  }
  function floats(longest) {
    longest.forEach((passed, row) => {
      const shown = grid.rows[height() - 1 - row]?.querySelector("small");
      if (shown) shown.textContent = passed ? `float ${passed}` : "";
    });
  }
  function reach(row, column, focus = true) {
    cellAt(at[0], at[1])?.setAttribute("tabindex", "-1");
    at = [Math.max(0, Math.min(height() - 1, row)), Math.max(0, Math.min(width() - 1, column))];
    const cell = cellAt(at[0], at[1]);
    cell.tabIndex = 0;
    if (focus) cell.focus();
  }

  // ---- colours to draw with
  function addRole() {
    if (state.roles.length >= form.dataset.marks.length) return false;
    const sign = [...form.dataset.marks].find((one) => !state.roles.some(([taken]) => taken === one));
    let number = 1;
    while (state.roles.some(([, role]) => role === `contrast ${number}`)) number++;
    state.roles.push([sign, state.roles.some(([, role]) => role === "main") ? `contrast ${number}` : "main"]);
    return true;
  }
  function palette() {
    const lines = state.roles.map(([sign, role], place) => {
      const label = document.createElement("label"), input = document.createElement("input"), patch = document.createElement("span");
      label.className = "tick ink";
      Object.assign(input, { type: "radio", name: "", value: String(place), checked: place === state.ink });
      input.addEventListener("change", () => choose(place));
      patch.className = "ink-patch";
      patch.textContent = place ? sign : "";
      const colour = codes[role] || greys(place);
      patch.style.backgroundColor = colour;
      patch.style.color = light(colour) ? "#000000" : "#ffffff";
      label.append(input, patch, ` ${place + 1}: ${role}`);
      return label;
    });
    find("m-roles").replaceChildren(...lines);
    for (const [, role] of state.roles) {
      if (form.querySelector(`[name="${CSS.escape(`in ${role}`)}"]`)) continue;
      const line = document.createElement("p"), label = document.createElement("label"), input = document.createElement("input");
      line.className = "field";
      label.textContent = role;
      label.htmlFor = input.id = `in-${role.replace(/\W+/g, "-")}`;
      Object.assign(input, { name: `in ${role}`, autocomplete: "off" });
      input.setAttribute("list", "lots");
      line.append(label, " ", input);
      find("shown-in").append(line);
    }
  }
  function choose(place) {
    if (place < 0 || place >= state.roles.length) return;
    state.ink = place;
    [...find("m-roles").querySelectorAll("input")].forEach((one, number) => { one.checked = number === place; });
    say(`Drawing with ${state.roles[place][1]}`);
  }

  // ---- one stitch
  function places(row, column) {
    const columns = find("m-sides").checked ? [column, width() - 1 - column] : [column];
    const rows = find("m-ends").checked ? [row, height() - 1 - row] : [row];
    return rows.flatMap((one) => columns.map((other) => [one, other]));
  }
  function paint(row, column, sign) {
    for (const [one, other] of places(row, column)) {
      if (state.rows[one][other] === sign) continue;
      state.rows[one] = state.rows[one].slice(0, other) + sign + state.rows[one].slice(other + 1);
      dress(one, other);
    }
  }
  // What a tap on this stitch draws: the colour chosen, or the ground where that is there already.
  const inkFor = (row, column) => {
    const ink = state.roles[state.ink][0];
    return state.rows[row][column] === ink && state.ink > 0 ? state.roles[0][0] : ink;
  };
  function tap(row, column) {
    keep();
    paint(row, column, inkFor(row, column));
    drawn();
    say(cellAt(row, column).getAttribute("aria-label"));
  }
  const placeOf = (node) => node?.closest?.("[data-at]")?.dataset.at.split(",").map(Number);

  grid.addEventListener("pointerdown", (event) => {
    const place = placeOf(event.target);
    if (!place || event.button > 0 || (find("m-move").checked && event.pointerType !== "mouse")) return;
    event.preventDefault();
    event.target.releasePointerCapture?.(event.pointerId);
    keep();
    painting = inkFor(...place);
    paint(...place, painting);
    reach(...place);
  });
  document.addEventListener("pointermove", (event) => {
    if (painting === null) return;
    const place = placeOf(document.elementFromPoint(event.clientX, event.clientY));
    if (place) paint(...place, painting);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    document.addEventListener(end, () => {
      if (painting !== null) drawn();
      painting = null;
    });
  }
  find("m-move").addEventListener("change", (event) => grid.classList.toggle("moves", event.target.checked));
  find("m-size").addEventListener("change", (event) => {
    grid.classList.remove("small", "middle", "large");
    grid.classList.add(event.target.value);
  });

  grid.addEventListener("keydown", (event) => {
    const [row, column] = at;
    const steps = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [1, 0], ArrowDown: [-1, 0], PageUp: [10, 0], PageDown: [-10, 0] };
    if (event.ctrlKey || event.metaKey) {
      if (event.key.toLowerCase() !== "z" && event.key.toLowerCase() !== "y") return;
      event.preventDefault();
      return act(event.shiftKey || event.key.toLowerCase() === "y" ? "redo" : "undo");
    }
    if (event.altKey) return;
    if (steps[event.key]) reach(row + steps[event.key][0], column + steps[event.key][1]);
    else if (event.key === "Home") reach(row, 0);
    else if (event.key === "End") reach(row, width() - 1);
    else if (event.key === " " || event.key === "Enter") tap(row, column);
    else if (/^[1-9]$/.test(event.key)) choose(Number(event.key) - 1);
    else if (event.key.toLowerCase() === "u") act("undo", true);
    else return;
    event.preventDefault();
  });

  // ---- the whole grid
  const turned = (row) => [...row].reverse().join("");
  const tools = {
    undo: () => back(past, ahead, "Taken back"),
    redo: () => back(ahead, past, "Done again"),
    across: () => change(state.rows.map(turned), "Turned left to right"),
    over: () => change([...state.rows].reverse(), "Turned upside down"),
    beside: () => change(state.rows.map((row) => turned(row) + row), "Mirrored beside itself"),
    above: () => change([...state.rows, ...[...state.rows].reverse()], "Mirrored above itself"),
    twice: () => change(state.rows.map((row) => row + row), "Repeated beside itself"),
    stack: () => change([...state.rows, ...state.rows], "Repeated above itself"),
    left: () => change(state.rows.map((row) => row.slice(1) + row[0]), "Moved left"),
    right: () => change(state.rows.map((row) => row.slice(-1) + row.slice(0, -1)), "Moved right"),
    up: () => change([...state.rows.slice(-1), ...state.rows.slice(0, -1)], "Moved up"),
    down: () => change([...state.rows.slice(1), state.rows[0]], "Moved down"),
    colour: () => {
      keep();
      if (!addRole()) return say("No more colours");
      palette();
      choose(state.roles.length - 1);
    },
  };
  function act(name, focus = false) {
    tools[name]();
    if (focus) reach(...at);
  }
  form.addEventListener("click", (event) => {
    const name = event.target.closest("[data-do]")?.dataset.do;
    if (name) act(name);
  });
  find("m-name").addEventListener("change", (event) => {
    keep();
    state.name = event.target.value;
    drawn();
  });
  function resize() {
    const wide = Math.round(Number(find("m-width").value)), high = Math.round(Number(find("m-height").value));
    if (wide === width() && high === height()) return;
    if (!(wide >= 1 && high >= 1)) return build();
    const ground = state.roles[0][0];
    // Stitch 1 and row 1 stay where they are.
    const rows = state.rows.slice(0, high).map((row) => row.slice(-wide).padStart(wide, ground));
    while (rows.length < high) rows.push(ground.repeat(wide));
    change(rows, "Now");
  }
  find("m-width").addEventListener("change", resize);
  find("m-height").addEventListener("change", resize);
  for (const id of ["m-width", "m-height", "m-name"]) {
    find(id).addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault(); // it isn't sent yet
      event.target.dispatchEvent(new Event("change"));
    });
  }

  // ---- what the page says of it
  text.addEventListener("change", () => {
    ownText = true;
    form.dispatchEvent(new Event("drawn"));
  });
  let warned = [...counts.querySelectorAll(".message")].map((one) => one.textContent).join(" ");
  counts.addEventListener("htmx:afterSwap", () => {
    const told = find("told"), draft = find("kept").dataset.draft;
    // It is kept as it is now: loading the page anew, or coming back to it, shows it again.
    find("draft").value = draft;
    history.replaceState(null, "", `/motif/draft/${draft}`);
    const warning = [...counts.querySelectorAll(".message")].map((one) => one.textContent).join(" ");
    if (warning !== warned) say(warning || "No warning is left");
    warned = warning;
    if (!told) return;
    if (ownText) {
      ownText = false;
      keep();
      return begin();
    }
    const given = take(told);
    if (painting === null && given.rows.length) {
      for (let row = 0; row < height(); row++) for (let column = 0; column < width(); column++) dress(row, column);
      palette();
      floats(given.floats);
    }
  });
  begin();
})();
