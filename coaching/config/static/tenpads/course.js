// Draws a figure that the page carries as data: the course to the event, or whatever data-figure of this script's
// element names; with data-plotly the library is fetched only where the page is wide enough to gain by it.
// Colours are named in the figure as "token:NAME" or "token:NAME/ALPHA" and read from the page's own
// custom properties, so the picture follows light, dark and print. The picture drawn by the server
// is taken away only once this one stands.
(function () {
  "use strict";
  var me = document.currentScript, name = (me && me.dataset.figure) || "course";
  var holder = document.getElementById(name);
  var data = document.getElementById(name + "-figure");
  if (!holder || !data) return;

  var figure;
  try { figure = JSON.parse(data.textContent); } catch (wrong) { return; }

  function token(name) {
    return getComputedStyle(document.documentElement).getPropertyValue("--" + name).trim();
  }

  function withAlpha(colour, alpha) {
    var hex = colour.replace("#", "");
    if (hex.length === 3) hex = hex.replace(/./g, "$&$&");
    var parts = [0, 2, 4].map(function (at) { return parseInt(hex.slice(at, at + 2), 16); });
    return "rgba(" + parts.join(",") + "," + alpha + ")";
  }

  function coloured(text) {
    var found = /^token:([a-z0-9-]+)(?:\/([a-z0-9.-]+))?$/.exec(text);
    if (!found) return text;
    if (!found[2]) return token(found[1]);
    var alpha = isNaN(Number(found[2])) ? token(found[2]) : found[2];
    return withAlpha(token(found[1]), alpha);
  }

  function themed(value) {
    if (typeof value === "string") return coloured(value);
    if (Array.isArray(value)) return value.map(themed);
    if (value === null || typeof value !== "object") return value;
    var copy = {};
    Object.keys(value).forEach(function (key) { copy[key] = themed(value[key]); });
    return copy;
  }

  var lanesAll = name === "course" ? [].slice.call(document.querySelectorAll(".course-under")) : [];
  function under() {
    return lanesAll.filter(function (one) { return one.getClientRects().length; })[0];
  }

  function layout() {
    var own = {
      paper_bgcolor: token("paper"), plot_bgcolor: token("paper"), autosize: true,
      font: { family: token("sans"), color: token("ink"), size: 12 }
    };
    var made = Object.assign(own, themed(figure.layout || {}));
    // Lanes that the server drew lie under the chart on the same days: its margins are theirs.
    var lanes = under();
    if (lanes) {
      var width = lanes.getBoundingClientRect().width;
      made.margin = Object.assign({}, made.margin, { l: width * lanes.dataset.left, r: width * lanes.dataset.right, autoexpand: false });
    }
    if (window.matchMedia("(pointer: coarse)").matches) made.dragmode = false;
    return made;
  }

  var still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  var config = {
    responsive: true, displaylogo: false, displayModeBar: false, showTips: !still, scrollZoom: false,
    showEditInChartStudio: false, plotlyServerURL: ""
  };

  function draw() {
    return window.Plotly.react(holder, themed(figure.data || []), layout(), config);
  }

  function takeAwayDrawn() {
    var drawn = document.getElementById(name + "-drawn");
    if (drawn) drawn.hidden = true;
  }

  function begin() {
    holder.classList.add("course-live");
    lanesAll.forEach(function (one) { one.hidden = false; });
    window.Plotly.newPlot(holder, themed(figure.data || []), layout(), config).then(function () {
      takeAwayDrawn();
      window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
      if (lanesAll.length) window.addEventListener("resize", draw);
    }, function () {
      lanesAll.forEach(function (one) { one.hidden = true; });
      window.Plotly.purge(holder);
      holder.classList.remove("course-live");
    });
  }

  function fetchLibrary() {
    var library = document.createElement("script");
    library.src = me.dataset.plotly;
    library.addEventListener("load", begin);
    document.head.appendChild(library);
  }

  if (window.Plotly) begin();
  else if (me && me.dataset.plotly && window.matchMedia("(min-width: 641px)").matches) fetchLibrary();
})();
