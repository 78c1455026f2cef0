// Before a photo leaves the phone: its middle square, chosen by hand, drawn anew on a canvas, so that nothing but pixels
// is sent. The server does the same once more. Where this cannot be done the file goes as it is and the server does it.
(function () {
  "use strict";
  var input = document.querySelector("input[type=file][name=photo]");
  var box = document.querySelector(".photo-crop");
  var canvas = box && box.querySelector("canvas");
  if (!input || !canvas || !window.DataTransfer || !HTMLCanvasElement.prototype.toBlob) return;
  var MOST = 1600, VIEW = 320;
  var picture = null, side = 0, x = 0, y = 0, busy = null;

  function clamp(value, low, high) { return Math.min(Math.max(value, low), Math.max(low, high)); }

  function draw() {
    x = clamp(x, 0, picture.width - side);
    y = clamp(y, 0, picture.height - side);
    var pen = canvas.getContext("2d");
    pen.drawImage(picture, x, y, side, side, 0, 0, VIEW, VIEW);
    guide(pen);
  }

  // A finger's outline as a guide: two photos held to it can be laid side by side.
  function guide(pen) {
    pen.save();
    pen.setLineDash([6, 5]);
    ["rgba(0,0,0,0.75)", "rgba(255,255,255,0.9)"].forEach(function (colour, n) {
      pen.strokeStyle = colour;
      pen.lineWidth = n ? 1.5 : 3.5;
      pen.beginPath();
      pen.moveTo(110, VIEW);
      pen.lineTo(110, 110);
      pen.arc(160, 110, 50, Math.PI, 0);
      pen.lineTo(210, VIEW);
      pen.stroke();
    });
    pen.restore();
  }

  function cut() {
    var out = document.createElement("canvas");
    out.width = out.height = Math.min(MOST, Math.round(side));
    out.getContext("2d").drawImage(picture, x, y, side, side, 0, 0, out.width, out.height);
    busy = new Promise(function (done) {
      out.toBlob(function (blob) {
        if (blob && picture) {
          var files = new DataTransfer();
          files.items.add(new File([blob], "photo.jpg", { type: blob.type, lastModified: 0 }));
          input.files = files.files;
        }
        busy = null;
        done();
      }, "image/jpeg", 0.85);  // well under what a proxy lets through
    });
  }

  function none() {
    picture = null;
    input.value = "";
    box.hidden = true;
  }

  input.addEventListener("change", function () {
    var file = input.files && input.files[0];
    if (!file) return none();
    if (file.name === "photo.jpg" && file.lastModified === 0) return;
    createImageBitmap(file, { imageOrientation: "from-image" }).then(function (found) {
      picture = found;
      side = Math.min(found.width, found.height);
      x = (found.width - side) / 2;
      y = (found.height - side) / 2;
      box.hidden = false;
      draw();
      cut();
    }, function () { box.hidden = true; });  // not a picture that this browser can draw: the server says so in words
  });

  box.addEventListener("click", function (event) {
    var what = event.target.closest("[data-photo]");
    if (!what || !picture) return;
    if (what.dataset.photo === "none") return none();
    var middle = { x: x + side / 2, y: y + side / 2 };
    var whole = Math.min(picture.width, picture.height);
    side = clamp(side * (what.dataset.photo === "nearer" ? 0.8 : 1.25), Math.min(200, whole), whole);
    x = middle.x - side / 2;
    y = middle.y - side / 2;
    draw();
    cut();
  });

  function move(dx, dy) {
    if (!picture) return;
    x += dx * side / VIEW;
    y += dy * side / VIEW;
    draw();
  }
  var from = null;
  canvas.addEventListener("pointerdown", function (event) {
    from = { x: event.clientX, y: event.clientY };
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", function (event) {
    if (!from) return;
    var scale = VIEW / canvas.clientWidth;
    move((from.x - event.clientX) * scale, (from.y - event.clientY) * scale);
    from = { x: event.clientX, y: event.clientY };
  });
  ["pointerup", "pointercancel"].forEach(function (name) {
    canvas.addEventListener(name, function () { if (from && picture) cut(); from = null; });
  });
  canvas.addEventListener("keydown", function (event) {
    var step = { ArrowLeft: [-12, 0], ArrowRight: [12, 0], ArrowUp: [0, -12], ArrowDown: [0, 12] }[event.key];
    if (!step || !picture) return;
    event.preventDefault();
    move(step[0], step[1]);
    cut();
  });

  // A send in the moment in which the cut is being made waits for it.
  input.form.addEventListener("submit", function (event) {
    if (!busy) return;
    event.preventDefault();
    var by = event.submitter;
    busy.then(function () { input.form.requestSubmit(by); });
  });
})();
