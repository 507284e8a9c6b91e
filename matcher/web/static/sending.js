// A file that is dropped on the form is chosen; a form on its way says so.
"use strict";

for (const form of document.querySelectorAll("form.drop")) {
  const input = form.querySelector("input[type=file]");
  form.addEventListener("dragover", (event) => {
    event.preventDefault();
    form.classList.add("over");
  });
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    form.classList.remove("over");
    if (!event.dataTransfer || !event.dataTransfer.files.length) return;
    input.files = event.dataTransfer.files;
    form.requestSubmit();
  });
}
