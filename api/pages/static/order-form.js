// Puts an order form into a shop's page:
// <script src="https://workshop.example/assets/order-form.js" data-form="swf_…" async></script>
// The form stands where the script stands, in a frame that is kept as high as what is in it. When something is ordered
// the frame gets the event "ordered"; event.detail.order is the order's number.
"use strict";

(() => {
  const script = document.currentScript;
  const form = script && script.dataset.form;
  if (!form) { return; }
  const workshop = new URL(script.src).origin;
  const frame = document.createElement("iframe");
  frame.src = `${workshop}/form/${encodeURIComponent(form)}`;
  frame.title = script.dataset.title || "Order form";
  frame.style.width = "100%";
  frame.style.height = "60rem";
  frame.style.border = "0";
  frame.style.display = "block";
  const greet = () => frame.contentWindow.postMessage({ orderForm: "hello" }, workshop);
  addEventListener("message", (event) => {
    if (event.origin !== workshop || event.source !== frame.contentWindow) { return; }
    const told = event.data && event.data.orderForm;
    if (told === "ready") { greet(); }
    if (told === "height" && event.data.height > 0 && event.data.height < 30000) {
      frame.style.height = `${Math.ceil(event.data.height)}px`;
    }
    if (told === "ordered" && typeof event.data.order === "string") {
      frame.dispatchEvent(new CustomEvent("ordered", { bubbles: true, detail: { order: event.data.order } }));
      frame.scrollIntoView({ block: "start" });
    }
  });
  frame.addEventListener("load", greet);
  script.after(frame);
})();
