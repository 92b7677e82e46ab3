// What the order form needs beyond htmx: who typed a measure wants measures of their own, and a shop's page that has
// the form in a frame is told how high it is. Only the origins that the form is bound to are told anything.
"use strict";

(() => {
  document.addEventListener("input", (event) => {
    if (!event.target.matches || !event.target.matches("[data-own]")) { return; }
    const own = event.target.form.querySelector('input[name="size"][value="own"]');
    if (own) { own.checked = true; }
  });

  // What was just changed has no price yet: nothing is ordered until it has.
  document.addEventListener("change", (event) => {
    const button = event.target.closest("#wish") && document.querySelector("#place button");
    if (button) { button.disabled = true; }
  });

  const wrong = () => {
    for (const fault of document.querySelectorAll(".fault[id]")) {
      const field = document.querySelector(`[aria-describedby~="${fault.id}"]`);
      if (!field) { continue; }
      if (fault.textContent.trim()) { field.setAttribute("aria-invalid", "true"); } else { field.removeAttribute("aria-invalid"); }
    }
  };
  document.addEventListener("htmx:afterSettle", wrong);

  const told = () => document.getElementById("told");
  // Who waits is told so, those who listen too when it takes a while.
  let waiting = 0;
  document.addEventListener("htmx:beforeRequest", () => {
    const place = document.querySelector(".right");
    if (place) { place.classList.add("working"); }
    clearTimeout(waiting);
    waiting = setTimeout(() => { if (told()) { told().textContent = "Working out the picture and the price."; } }, 1000);
  });
  document.addEventListener("htmx:afterRequest", () => {
    clearTimeout(waiting);
    const place = document.querySelector(".right");
    if (place && !document.querySelector(".htmx-request")) { place.classList.remove("working"); }
  });
  const silent = () => { const place = told(); if (place) { place.textContent = "The workshop does not answer. Please try again in a moment."; place.classList.remove("hidden"); } };
  document.addEventListener("htmx:sendError", silent);
  document.addEventListener("htmx:timeout", silent);
  document.addEventListener("htmx:afterRequest", (event) => { if (event.detail.successful && told()) { told().classList.add("hidden"); } });

  if (window.parent === window) { return; }
  const origins = new Set(document.body.dataset.origins.split(" ").filter(Boolean));
  let shop = null;
  const tell = (message) => { if (shop) { window.parent.postMessage(message, shop); } };
  const height = () => tell({ orderForm: "height", height: document.documentElement.getBoundingClientRect().height });
  addEventListener("message", (event) => {
    if (event.source !== window.parent || !origins.has(event.origin)) { return; }
    if (!event.data || event.data.orderForm !== "hello" || shop) { return; }
    shop = event.origin;
    height();
    new ResizeObserver(height).observe(document.documentElement);
    const order = document.body.dataset.ordered;
    if (order) { tell({ orderForm: "ordered", order }); }
  });
})();
