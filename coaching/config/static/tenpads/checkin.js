// Notes how many seconds the check-in took. The form works the same without this script.
(function () {
  "use strict";
  var form = document.querySelector("form.checkin");
  var field = form && form.querySelector("input[name=seconds_taken]");
  if (!field) return;
  var opened = performance.now();
  form.addEventListener("submit", function () {
    field.value = String(Math.round((performance.now() - opened) / 1000));
  });
})();
