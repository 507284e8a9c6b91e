// Boxes on a photograph: drawn, moved and sized by finger, mouse or keys. The fields of the form hold what they say,
// so that they can be typed as well.
"use strict";

(() => {
  const board = document.getElementById("boxed");
  if (!board) return;
  const wide = Number(board.dataset.width), high = Number(board.dataset.height);
  const yarns = document.getElementById("yarns"), white = document.getElementById("f-white");
  const tools = document.querySelector("#places .tools"), least = Math.max(4, Math.round(wide / 100));
  const layer = document.createElement("div");
  let boxes = [], drawn = null;
  tools.hidden = false;
  document.getElementById("figures").open = false;
  layer.className = "layer";
  board.append(layer);

  const read = (text) => {
    const found = text.match(/-?\d+/g);
    return found && found.length === 4 ? found.map(Number) : null;
  };
  const clamp = (value, low, up) => Math.min(up, Math.max(low, value));

  // What the fields say; and where nothing is said, what was found.
  function begin() {
    boxes = [...yarns.querySelectorAll("input")].map((one) => read(one.value)).filter(Boolean).map((at) => ({ kind: "yarn", at }));
    for (const one of boxes.length ? [] : board.dataset.found.split(";")) if (read(one)) boxes.push({ kind: "yarn", at: read(one), found: true });
    const paper = read(white.value) || read(white.placeholder);
    if (paper) boxes.push({ kind: "white", at: paper, found: !white.value });
    show();
  }

  function name(box, number) {
    const [x, y, w, h] = box.at;
    return `${box.kind === "white" ? "White paper" : `Yarn ${number}`}: ${x} from the left, ${y} from the top, ${w} wide, ${h} high`;
  }

  function place(box, number) {
    const [x, y, w, h] = box.at, mark = box.mark;
    mark.style.left = `${(100 * x) / wide}%`;
    mark.style.top = `${(100 * y) / high}%`;
    mark.style.width = `${(100 * w) / wide}%`;
    mark.style.height = `${(100 * h) / high}%`;
    mark.setAttribute("aria-label", name(box, number));
    mark.firstChild.textContent = box.kind === "white" ? "white" : String(number);
  }

  function show() {
    let number = 0;
    for (const box of boxes) {
      if (!box.mark) {
        box.mark = document.createElement("button");
        box.mark.type = "button";
        box.mark.className = `mark ${box.kind}`;
        box.mark.setAttribute("aria-describedby", "draws");
        box.mark.append(document.createElement("span"), document.createElement("i"));
        box.mark.lastChild.className = "corner";
        box.mark.addEventListener("keydown", (event) => keys(event, box));
        layer.append(box.mark);
      }
      if (box.kind === "yarn") number += 1;
      place(box, number);
    }
    board.classList.add("live");
  }

  // Once she changed something, all that is drawn is said.
  function write() {
    for (const box of boxes) if (box.kind === "yarn") box.found = false;
    const said = boxes.filter((one) => one.kind === "yarn");
    const fields = [...yarns.querySelectorAll(".field")];
    while (fields.length < said.length + 1) {
      const more = fields[0].cloneNode(true), number = fields.length + 1;
      more.querySelector("input").id = `f-box-${number}`;
      more.querySelector("label").htmlFor = `f-box-${number}`;
      more.querySelector("label").textContent = `Yarn ${number}`;
      yarns.append(more);
      fields.push(more);
    }
    fields.forEach((one, index) => (one.querySelector("input").value = said[index] ? said[index].at.join(",") : ""));
    const paper = boxes.find((one) => one.kind === "white");
    white.value = paper && !paper.found ? paper.at.join(",") : "";
    show();
  }

  function remove(box) {
    box.mark.remove();
    boxes = boxes.filter((one) => one !== box);
  }

  function add(kind, at) {
    if (kind === "white") boxes.filter((one) => one.kind === "white").forEach(remove);
    const box = { kind, at };
    boxes.push(box);
    show();
    return box;
  }

  function shift(box, dx, dy, size) {
    let [x, y, w, h] = box.at;
    if (size) {
      w = clamp(w + dx, least, wide - x);
      h = clamp(h + dy, least, high - y);
    } else {
      x = clamp(x + dx, 0, wide - w);
      y = clamp(y + dy, 0, high - h);
    }
    box.at = [x, y, w, h].map(Math.round);
    box.found = false;
  }

  function keys(event, box) {
    const step = Math.max(1, Math.round(wide / 100));
    const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
    if (way) {
      shift(box, ...way, event.shiftKey);
    } else if (event.key === "Delete" || event.key === "Backspace") {
      const next = boxes[(boxes.indexOf(box) + 1) % boxes.length];
      remove(box);
      (next && next !== box ? next.mark : document.getElementById("one-more")).focus();
    } else {
      return;
    }
    event.preventDefault();
    write();
  }

  const kind = () => document.querySelector("input[name=draw]:checked").value;
  function at(event) {
    const seen = board.getBoundingClientRect();
    return [
      clamp(Math.round(((event.clientX - seen.left) / seen.width) * wide), 0, wide),
      clamp(Math.round(((event.clientY - seen.top) / seen.height) * high), 0, high),
    ];
  }

  layer.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    const mark = event.target.closest(".mark"), from = at(event);
    const box = mark && boxes.find((one) => one.mark === mark);
    drawn = { from, last: from, box, size: event.target.className === "corner" };
    layer.setPointerCapture(event.pointerId);
    if (box) box.mark.focus();
    event.preventDefault();
  });
  layer.addEventListener("pointermove", (event) => {
    if (!drawn) return;
    const to = at(event), [x, y] = drawn.from;
    if (drawn.box && !drawn.fresh) {
      shift(drawn.box, to[0] - drawn.last[0], to[1] - drawn.last[1], drawn.size);
      drawn.moved = true;
    } else {
      const size = [Math.abs(to[0] - x), Math.abs(to[1] - y)];
      if (!drawn.fresh && Math.min(...size) < least) return;
      if (!drawn.fresh) {
        drawn.fresh = true;
        drawn.box = add(kind(), [x, y, least, least]);
      }
      const left = clamp(Math.min(x, to[0]), 0, wide - least), top = clamp(Math.min(y, to[1]), 0, high - least);
      drawn.box.at = [left, top, clamp(size[0], least, wide - left), clamp(size[1], least, high - top)];
    }
    drawn.last = to;
    show();
  });
  function end() {
    if (drawn && (drawn.fresh || drawn.moved)) {
      write();
      drawn.box.mark.focus();
    }
    drawn = null;
  }
  layer.addEventListener("pointerup", end);
  layer.addEventListener("pointercancel", end);

  document.getElementById("one-more").addEventListener("click", () => {
    const box = add(kind(), [wide * 0.4, high * 0.4, wide * 0.2, high * 0.2].map(Math.round));
    write();
    box.mark.focus();
  });
  document.getElementById("none").addEventListener("click", () => {
    [...boxes].forEach(remove);
    write();
  });
  document.getElementById("places").addEventListener("change", (event) => {
    if (event.target.name !== "box" && event.target !== white) return;
    [...boxes].forEach(remove);
    begin();
  });
  begin();
})();
