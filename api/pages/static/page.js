// What the pages need beyond htmx: nothing typed is lost, one change at a time, the keys for undo and redo, and words
// when the line is down.
"use strict";

(() => {
  const FIELDS = "#work input[id]:not([type=hidden]), #work select[id], #work textarea[id]";
  const PAUSE = 3000;
  const say = (text) => { const place = document.getElementById("told"); if (place) { place.textContent = text; } };
  const fields = () => [...document.querySelectorAll(FIELDS)];

  // The text of a field, and the one that the server has sent.
  const now = (field) => field.type === "checkbox" ? String(field.checked) : field.value;
  const was = (field) => {
    if (field.type === "checkbox") { return String(field.defaultChecked); }
    if (field.tagName !== "SELECT") { return field.defaultValue; }
    const chosen = [...field.options].find((option) => option.defaultSelected);
    return (chosen || field.options[0] || { value: "" }).value;
  };
  const put = (field, text) => {
    if (field.type === "checkbox") { field.checked = text === "true"; } else { field.value = text; }
  };
  const changed = (field) => field.dispatchEvent(new Event("change", { bubbles: true }));

  // What is typed is kept here until the server has it, also over a reload.
  const key = (id) => `unsent ${location.pathname} ${id}`;
  document.addEventListener("input", (event) => {
    if (event.target.id && event.target.closest("#work")) { sessionStorage.setItem(key(event.target.id), now(event.target)); }
  });
  const replay = () => {
    for (const field of fields()) {
      const text = sessionStorage.getItem(key(field.id));
      if (text === null) { continue; }
      if (text === was(field)) { sessionStorage.removeItem(key(field.id)); continue; }
      put(field, text);
      changed(field);
    }
  };

  // One change at a time: what comes meanwhile waits for the answer, since that brings the next version.
  let pending = 0, sent = new Map(), clicked = null, typed = new Map(), cursor = null;
  const inWork = (event) => event.target.closest && event.target.closest("#work");
  document.addEventListener("htmx:confirm", (event) => {
    if (!inWork(event) || !pending) { return; }
    event.preventDefault();
    const button = event.detail.triggeringEvent && event.detail.triggeringEvent.submitter;
    if (button && button.id) { clicked = button.id; }
  });
  // Of a row only the fields that were changed are sent: two people may change two fields of it.
  document.addEventListener("htmx:configRequest", (event) => {
    if (!inWork(event) || byButton(event)) { return; }
    for (const field of fields()) {
      if (now(field) === was(field) && field.name.startsWith("f:")) { event.detail.formData.delete(field.name); }
    }
  });
  const byButton = (event) => Boolean(event.detail.triggeringEvent && event.detail.triggeringEvent.submitter);
  document.addEventListener("htmx:beforeRequest", (event) => {
    if (!inWork(event)) { return; }
    pending += 1;
    const row = event.target;
    const whole = row.matches("form.of-table") && byButton({ detail: event.detail.requestConfig });
    const own = whole ? [] : fields().filter((field) => row.contains(field));
    sent = new Map(own.map((field) => [field.id, now(field)]));
  });
  document.addEventListener("htmx:beforeSwap", () => {
    typed = new Map(fields().filter((field) => now(field) !== was(field) && sent.get(field.id) !== now(field)).map((field) => [field.id, now(field)]));
    const active = document.activeElement;
    cursor = active && active.id ? { id: active.id, start: active.selectionStart, end: active.selectionEnd } : null;
  });
  document.addEventListener("htmx:afterSwap", () => {
    for (const id of sent.keys()) { if (!typed.has(id)) { sessionStorage.removeItem(key(id)); } }
    for (const button of document.querySelectorAll("button.more")) { unfold(button); }
    const field = cursor && document.getElementById(cursor.id);
    if (field && document.activeElement !== field) { field.focus({ preventScroll: true }); }
    for (const [id, text] of typed) {
      const other = document.getElementById(id);
      if (other) { put(other, text); }
    }
    if (field && typeof cursor.start === "number" && field.setSelectionRange) {
      try { field.setSelectionRange(cursor.start, cursor.end); } catch { /* not a field with a cursor */ }
    }
    const choice = document.getElementById("choice");
    if (choice) { choice.focus(); choice.scrollIntoView({ block: "nearest" }); }
  });
  const lost = (event) => {
    if (!inWork(event)) { return; }
    for (const [id, text] of sent) {
      const field = document.getElementById(id);
      if (field && text !== was(field)) { sessionStorage.setItem(key(id), text); }
    }
    document.getElementById("work").classList.add("unsent");
    say("The server does not answer. What you wrote is kept here, and sent when it answers again.");
  };
  document.addEventListener("htmx:sendError", lost);
  document.addEventListener("htmx:timeout", lost);
  document.addEventListener("htmx:afterRequest", (event) => {
    const work = document.getElementById("work");
    if (!work || !inWork(event)) { return; }
    pending = Math.max(pending - 1, 0);
    if (!event.detail.xhr || event.detail.xhr.status === 0) { return; }
    if (work.classList.contains("unsent")) { work.classList.remove("unsent"); say(""); }
    // A field that was left while the answer was on its way is sent now; one still being written is not.
    const left = [...typed.keys()].map((id) => document.getElementById(id));
    typed = new Map();
    for (const field of left) { if (field && field !== document.activeElement) { changed(field); } }
    const button = !pending && clicked && document.getElementById(clicked);
    if (button) { clicked = null; button.click(); }
  });
  setInterval(() => { if (document.querySelector("#work.unsent") && !pending) { replay(); } }, PAUSE);
  addEventListener("online", replay);
  document.addEventListener("DOMContentLoaded", replay);

  document.addEventListener("keydown", (event) => {
    // A row sends itself when a field is changed; Enter in a field is no press of the form's first button.
    if (event.key === "Enter" && event.target.matches("form.of-table input[type=text]")) {
      event.preventDefault();
      if (now(event.target) !== was(event.target)) { changed(event.target); }
      return;
    }
    if (!(event.ctrlKey || event.metaKey) || event.altKey) { return; }
    const letter = event.key.toLowerCase();
    const wanted = letter === "y" || (letter === "z" && event.shiftKey) ? "redo" : letter === "z" ? "undo" : null;
    const button = wanted && document.querySelector(`[data-key="${wanted}"]`);
    if (!button) { return; }
    // In a field whose text was changed and not yet sent, the browser's own undo comes first.
    const field = event.target;
    if (field.matches("input[id], textarea[id]") && now(field) !== was(field)) { return; }
    event.preventDefault();
    if (!button.disabled) { button.click(); }
  });

  // The second line of a row is shown as far as it says something, and whole where it is asked for.
  const opened = new Set();
  document.documentElement.classList.add("scripted");
  const unfold = (button) => {
    const open = opened.has(button.id);
    button.setAttribute("aria-expanded", String(open));
    button.closest("tbody").classList.toggle("open", open);
  };
  document.addEventListener("click", (event) => {
    const button = event.target.closest && event.target.closest("button.more");
    if (!button) { return; }
    if (!opened.delete(button.id)) { opened.add(button.id); }
    unfold(button);
  });

  // A row under the cursor lights what it speaks of in the drawing.
  document.addEventListener("focusin", (event) => {
    const row = event.target.closest && event.target.closest("[data-lights]");
    for (const line of document.querySelectorAll(".drawing .pointed")) { line.classList.remove("pointed"); }
    for (const name of row ? row.dataset.lights.split(" ") : []) {
      for (const line of document.querySelectorAll(`.drawing [data-name="${CSS.escape(name)}"]`)) { line.classList.add("pointed"); }
    }
  });

  document.addEventListener("click", (event) => { if (event.target.closest && event.target.closest("[data-print]")) { print(); } });
})();
