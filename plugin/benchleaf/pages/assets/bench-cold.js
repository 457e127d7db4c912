// The cold checks of the bench pad: keeps the ohms that are typed in this browser, and makes lines for a record of them.
(function () {
  "use strict";

  var form = document.getElementById("cold");
  if (!form || !form.hidden) return;

  var LONGEST = 60;
  // What a record reads as ohms, with its unit or without.
  var OHMS = /^(?:[<>≤≥~] ?)?(?:\d+(?:[.,]\d+)?|[.,]\d+) ?(?:k|K|M|meg|kohm|Mohm|ohms?|Ω|kΩ|MΩ)?$|^(?:open|short|OL)$/i;
  var BARE_NUMBER = /^(?:[<>≤≥~] ?)?(?:\d+(?:[.,]\d+)?|[.,]\d+)$/;
  var PLAIN = /^[A-Za-z0-9][A-Za-z0-9 .,\/()<>≤≥~Ω+-]*$/;

  var boxes = Array.prototype.slice.call(form.querySelectorAll("input[data-of]"));
  var lines = document.getElementById("cold-lines");
  var key = keyOfPage();

  function keyOfPage() {
    var way = location.host + location.pathname, sum = 2166136261;
    for (var n = 0; n < way.length; n += 1) sum = Math.imul(sum ^ way.charCodeAt(n), 16777619);
    return "benchleaf cold " + (sum >>> 0).toString(16);
  }

  function clean(text) {
    return text.replace(/[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]/g, " ")
      .replace(/\s+/g, " ").trim();
  }

  // The day by the clock of this device, as a record writes it.
  function today() {
    var now = new Date();
    var two = function (number) { return ("0" + number).slice(-2); };
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function reading(box) {
    var text = clean(box.value);
    return BARE_NUMBER.test(text) ? text + " ohm" : text;
  }

  // What is stored may come from another page of the same disk: only short texts of places on this page are taken.
  function recall() {
    var held = null;
    try { held = JSON.parse(localStorage.getItem(key) || "null"); } catch (refused) { held = null; }
    boxes.forEach(function (box) {
      var was = held && typeof held === "object" ? held[box.dataset.of] : "";
      box.value = typeof was === "string" ? was.slice(0, LONGEST) : "";
    });
  }

  function keep() {
    var now = {};
    boxes.forEach(function (box) { if (box.value) now[box.dataset.of] = box.value; });
    try {
      if (Object.keys(now).length) localStorage.setItem(key, JSON.stringify(now));
      else localStorage.removeItem(key);
    } catch (refused) { /* The lines below hold what was typed until the page is closed. */ }
  }

  function lineOf(box) {
    var text = today() + ", " + box.dataset.of + " " + reading(box);
    return "  - " + (PLAIN.test(text) ? text : JSON.stringify(text));
  }

  function show() {
    var read = boxes.filter(function (box) { return OHMS.test(reading(box)); });
    lines.value = read.map(lineOf).join("\n") || "Nothing is typed yet.";
    lines.rows = Math.max(2, read.length);
    boxes.forEach(function (box) {
      var odd = Boolean(clean(box.value)) && !OHMS.test(reading(box)) && box !== document.activeElement;
      box.setAttribute("aria-invalid", String(odd));
      document.getElementById(box.getAttribute("aria-describedby")).textContent =
        odd ? "Not read as ohms. A number with k or M, > 20 M, open or short." : "";
    });
  }

  boxes.forEach(function (box) {
    box.autocomplete = "off";
    box.spellcheck = false;
    box.setAttribute("autocapitalize", "off");
  });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", function () { keep(); show(); });
  form.addEventListener("focusout", function () { setTimeout(show, 0); });
  document.getElementById("cold-clear").addEventListener("click", function () {
    boxes.forEach(function (box) { box.value = ""; });
    keep();
    show();
  });

  recall();
  form.hidden = false;
  show();
})();
