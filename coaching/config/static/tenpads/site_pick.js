// A tap on a zone of a digit drawn large chooses it. Without this script its name below the drawing does.
(function () {
  "use strict";
  document.addEventListener("click", function (event) {
    var link = event.target.closest && event.target.closest(".site-pick a[href^='#spot-']");
    if (!link) return;
    var radio = document.querySelector("#" + CSS.escape(link.getAttribute("href").slice(1)) + " input");
    if (!radio) return;
    event.preventDefault();
    radio.checked = true;
    radio.dispatchEvent(new Event("change", { bubbles: true }));
  });
  document.addEventListener("change", function (event) {
    var radio = event.target;
    var said = document.querySelector(".site-said");
    if (radio.name !== "site" || !said) return;
    var link = document.querySelector(".site-pick a[href='#spot-" + CSS.escape(radio.value) + "']");
    var panel = radio.closest(".digit-panel");
    said.textContent = link ? link.getAttribute("aria-label") : panel ? panel.getAttribute("aria-label") : "";
    document.querySelectorAll(".site-pick a.zone-chosen").forEach(function (one) { one.classList.remove("zone-chosen"); });
    if (link) link.classList.add("zone-chosen");
  });
})();
