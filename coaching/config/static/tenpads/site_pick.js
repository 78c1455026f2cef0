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
  // Signs of infection lead to what to do, also where the answer is kept on the phone.
  document.addEventListener("change", function (event) {
    var form = event.target.form;
    if (!form || !form.dataset.infected) return;
    form.dataset.after = form.dataset.after || form.dataset.next;
    var signs = form.querySelector("input[name=infected][value=yes]:checked, input[name=red_flags]:checked");
    form.dataset.next = signs ? form.dataset.infected : form.dataset.after;
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
