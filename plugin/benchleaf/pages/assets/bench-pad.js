// The bench pad: keeps what is typed in this browser, and makes the lines of one run for a record. It judges nothing.
(function () {
  "use strict";

  var form = document.getElementById("pad");
  if (!form || !form.hidden) return;

  var LONGEST = 200;
  var MOST_KEPT = 400;
  var INDENT = "  ";
  // A reading as it may stand bare in a line behind its electrode: a number with its bound and unit, x, or OL.
  var READING = /^(?:[<>≤≥~] ?)?[-+−–]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?: ?(?:AC|DC|V|mV|kV|V AC|V DC|mV AC|mV DC))?$|^(?:x|OL)$/i;
  // Digits in groups of three: one number, which a line by itself would take for the pins of a tube.
  var GROUPED = /^[-+−–]?\d{1,3}(?: \d{3})+(?:[.,]\d+)?$/;
  var BARE_NUMBER = /^(?:[<>≤≥~] ?)?[-+−–]?(?:\d+(?:[.,]\d+)?|[.,]\d+)$/;
  var PLAIN_NAME = /^[A-Za-z0-9][A-Za-z0-9 +./()-]*$/;
  var PLAIN_TEXT = /^[A-Za-z0-9][A-Za-z0-9 .,\/%()+-]*$/;
  var EXPECTED_NAME = /\b(?:sheet|published)\b/i;

  var lines = document.getElementById("lines");
  var said = document.getElementById("said");
  var fields = all(".of-run input");
  var boxes = all("input[data-at]");
  var order = fields.concat(boxes);
  var taken = JSON.parse(form.dataset.taken).map(folded);
  var key = keyOfSet();
  var strays = {};
  var keeps = true;
  var begun = false;
  var dayTyped = false;

  function all(selector) { return Array.prototype.slice.call(form.querySelectorAll(selector)); }

  function field(name) { return document.getElementById("run-" + name); }

  function tell(id, text) {
    var at = document.getElementById(id);
    if (at.textContent !== text) at.textContent = text;
  }

  // One blank between words; no control characters and no half characters, which no file could hold.
  function clean(text) {
    return text.replace(/[\ud800-\udbff](?![\udc00-\udfff])|(^|[^\ud800-\udbff])[\udc00-\udfff]/g, "$1")
      .replace(/[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff]/g, " ")
      .replace(/\s+/g, " ").trim();
  }

  function folded(text) { return clean(text).toLowerCase(); }

  function quoted(text) { return JSON.stringify(text); }

  function bareOr(plain, text) { return plain.test(text) ? text : quoted(text); }

  // ---- What is kept -------------------------------------------------------------------------------------------

  // Pages from a disk share one store, and two sites may have a set of one name: so the way to the page is in the key.
  function keyOfSet() {
    var way = location.host + location.pathname, sum = 2166136261;
    for (var n = 0; n < way.length; n += 1) sum = Math.imul(sum ^ way.charCodeAt(n), 16777619);
    return "benchleaf pad " + (sum >>> 0).toString(16) + " " + form.dataset.set.slice(-100);
  }

  function nameOf(box) {
    return JSON.stringify([box.closest("[data-name]").dataset.name, box.dataset.at, box.dataset.current]);
  }

  function typed() {
    var now = { run: {}, boxes: {} };
    fields.forEach(function (one) {
      if (one.value !== one.defaultValue || one.name === "name") now.run[one.name] = one.value;
    });
    boxes.forEach(function (one) { if (one.value) now.boxes[nameOf(one)] = one.value; });
    Object.keys(strays).forEach(function (name) { now.boxes[name] = strays[name]; });
    return now;
  }

  // A name stays the one that was proposed with the first reading, though the record may have it by the next look.
  function isEmpty(now) {
    return !Object.keys(now.boxes).length && Object.keys(now.run).every(function (name) {
      return name === "date" || (name === "name" && now.run.name === freeName());
    });
  }

  function keep() {
    var now = typed();
    begun = !isEmpty(now);
    try {
      if (!begun) localStorage.removeItem(key);
      else localStorage.setItem(key, JSON.stringify(now));
      keeps = true;
    } catch (refused) {
      keeps = false;
    }
    sayKept();
  }

  function sayKept() {
    tell("kept", keeps
      ? "What you type is kept in this browser, on this device, until you begin a new run. A private window forgets it when it is closed."
      : "Nothing is being kept: this browser does not allow it here. Copy the lines below before you close this page.");
  }

  function stored() {
    try {
      var text = localStorage.getItem(key);
      return text ? JSON.parse(text) : null;
    } catch (refused) {
      return null;
    }
  }

  // What is stored may come from another page of the same disk, so nothing of it is believed but short texts.
  function textsOf(held) {
    var texts = {};
    if (held && typeof held === "object") {
      Object.keys(held).slice(0, MOST_KEPT).forEach(function (name) {
        if (typeof held[name] === "string") texts[name] = held[name].slice(0, LONGEST);
      });
    }
    return texts;
  }

  function recall() {
    var held = stored() || {}, run = textsOf(held.run), read = textsOf(held.boxes);
    fields.forEach(function (one) { one.value = run[one.name] === undefined ? one.defaultValue : run[one.name]; });
    boxes.forEach(function (one) {
      one.value = read[nameOf(one)] || "";
      delete read[nameOf(one)];
    });
    strays = {};
    Object.keys(read).forEach(function (name) { if (placeOf(name)) strays[name] = read[name]; });
    if (!run.date) field("date").value = today();
    if (run.name === undefined) field("name").value = freeName();
  }

  function placeOf(name) {
    try {
      var at = JSON.parse(name);
      return Array.isArray(at) && at.length === 3 ? at.join(" ").trim() : "";
    } catch (unreadable) {
      return "";
    }
  }

  // ---- The run ------------------------------------------------------------------------------------------------

  // The day by the clock of this device, as a record writes it.
  function today() {
    var now = new Date();
    var two = function (number) { return ("0" + number).slice(-2); };
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  function runName() {
    var name = clean(field("name").value) || field("name").defaultValue;
    return clean(field("date").value + " " + name);
  }

  // What the page proposes, with a number where the record has a run of that day and name already.
  function freeName() {
    var proposed = field("name").defaultValue;
    for (var n = 2; taken.indexOf(folded(field("date").value + " " + proposed)) >= 0; n += 1) {
      proposed = field("name").defaultValue + " " + n;
    }
    return proposed;
  }

  function sayName() {
    var name = runName();
    tell("name-taken", taken.indexOf(folded(name)) >= 0
      ? "The record has a run of this day and name. Give this one another name."
      : EXPECTED_NAME.test(name)
        ? "A run called “sheet” or “published” is taken for expected values, not for your own readings."
        : "");
  }

  // ---- The lines ----------------------------------------------------------------------------------------------

  // A reading with its sign at the number, and with the kind of current that its place has where none is written.
  function reading(box) {
    var text = clean(box.value).replace(/^([<>≤≥~]? ?[-+−–]) (?=[\d.,])/, "$1");
    if (/^[-+−–]$/.test(text)) return "";
    return box.dataset.current && BARE_NUMBER.test(text) ? text + " " + box.dataset.current : text;
  }

  function isReading(box, text) {
    var current = box.dataset.current;
    var bare = current && text.slice(-current.length - 1) === " " + current ? text.slice(0, -current.length - 1) : text;
    return READING.test(text) || READING.test(bare);
  }

  // A tube's line, or one line below the other where a reading or a name would not be read as it was typed in one.
  function linesOfTube(name, read) {
    var head = INDENT + INDENT + bareOr(PLAIN_NAME, name) + ":";
    if (read.every(function (one) { return one.plain && PLAIN_NAME.test(one.at); })) {
      return [head + " " + read.map(function (one) { return one.at + " " + one.text; }).join(", ")];
    }
    return [head].concat(read.map(function (one) {
      return INDENT + INDENT + INDENT + bareOr(PLAIN_NAME, one.at) + ": " + scalar(one);
    }));
  }

  function lineOfRail(name, one) {
    var text = GROUPED.test(one.text) ? one.text + " V" : one.text;
    return INDENT + INDENT + bareOr(PLAIN_NAME, name) + ": " + scalar({ text: text, plain: one.plain });
  }

  function scalar(one) { return one.plain && /^[\dA-Za-z.<~-]/.test(one.text) ? one.text : quoted(one.text); }

  function linesOfPlace(at) {
    var read = boxes.filter(function (box) { return at.contains(box) && reading(box); }).map(function (box) {
      var text = reading(box);
      return { at: box.dataset.at, text: text, plain: isReading(box, text) };
    });
    if (!read.length) return [];
    return read[0].at ? linesOfTube(at.dataset.name, read) : [lineOfRail(at.dataset.name, read[0])];
  }

  function linesOfRun() {
    var read = [];
    all("[data-name]").forEach(function (at) { read = read.concat(linesOfPlace(at)); });
    if (!read.length) return "";
    var head = [INDENT + bareOr(PLAIN_NAME, runName()) + ":"];
    ["line", "meter", "to", "note"].forEach(function (name) {
      var text = clean(field(name).value);
      if (text) head.push(INDENT + INDENT + name + ": " + bareOr(PLAIN_TEXT, text));
    });
    return head.concat(read).join("\n") + "\n";
  }

  function sayBoxes() {
    boxes.forEach(function (box) {
      var text = reading(box), odd = Boolean(text) && !isReading(box, text) && !GROUPED.test(text);
      var asked = odd && box !== document.activeElement;
      box.setAttribute("aria-invalid", String(asked));
      tell(box.id.replace("box", "asked"), asked
        ? "Not read as a voltage. A number, <0.5, x or OL; the rest belongs in the note." : "");
    });
  }

  function show() {
    var text = linesOfRun();
    lines.value = text || "Nothing is typed yet.";
    lines.rows = Math.max(3, lines.value.split("\n").length);
    ["copy", "share", "save"].forEach(function (id) { document.getElementById(id).disabled = !text; });
    var left = Object.keys(strays).map(function (name) { return placeOf(name) + " " + strays[name]; });
    tell("strays", left.length ? "Typed before, at places that this page no longer has: " + left.join("; ") + "." : "");
    sayName();
    sayBoxes();
  }

  // ---- Taking them along --------------------------------------------------------------------------------------

  function selectLines(told) {
    lines.focus();
    lines.select();
    tell("said", told);
  }

  function offer(id, there, act) {
    var button = document.getElementById(id);
    button.hidden = !there;
    button.addEventListener("click", act);
  }

  function copy() {
    navigator.clipboard.writeText(linesOfRun()).then(
      function () { tell("said", "Copied."); },
      function () { selectLines("This browser does not let the page copy. The lines are selected: copy them by hand."); }
    );
  }

  function share() {
    navigator.share({ title: form.dataset.title + ": " + runName(), text: linesOfRun() }).then(
      function () { tell("said", "Shared."); },
      function (error) {
        if (error.name !== "AbortError") selectLines("Sharing did not work. The lines are selected: copy them by hand.");
      }
    );
  }

  function save() {
    var link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([linesOfRun()], { type: "text/plain" }));
    link.download = (form.dataset.set + " " + runName()).replace(/[^A-Za-z0-9]+/g, "-").slice(0, 100) + ".txt";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 60000);
    tell("said", "Saved as " + link.download + ".");
  }

  function ask(asking) {
    document.getElementById("sure").hidden = !asking;
    document.getElementById("new-run").hidden = asking;
    document.getElementById(asking ? "keep" : "new-run").focus();
  }

  function clear() {
    order.forEach(function (one) { one.value = one.defaultValue; });
    strays = {};
    begun = dayTyped = false;
    beginToday();
    keep();
    tell("said", "");
    ask(false);
    show();
    (boxes[0] || order[0]).focus();
  }

  // ---- Typing -------------------------------------------------------------------------------------------------

  function turnSign(box) {
    box.value = box.value.replace(/^(\s*[<>≤≥~]?\s*)([-−–+]?)/, function (_, before, sign) {
      return before + (sign && sign !== "+" ? "" : "-");
    });
    box.focus();
    changed();
  }

  function withLetters(box) {
    box.inputMode = box.inputMode === "decimal" ? "text" : "decimal";
    box.blur();
    box.focus();
  }

  // A page that lay open overnight begins its run with the first reading.
  function beginToday() {
    if (begun || dayTyped) return;
    field("date").value = today();
    field("name").value = freeName();
  }

  function changed() {
    keep();
    tell("said", "");
    show();
  }

  function boxOf(button) { return button.parentElement.querySelector("input"); }

  order.forEach(function (one) {
    one.enterKeyHint = "next";
    one.autocomplete = "off";
    one.setAttribute("autocorrect", "off");
    one.setAttribute("autocapitalize", "off");
    one.spellcheck = false;
  });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", function (event) {
    if (event.target === field("date")) dayTyped = true;
    if (boxes.indexOf(event.target) >= 0) beginToday();
    changed();
  });
  form.addEventListener("focusout", function () { setTimeout(sayBoxes, 0); });
  form.addEventListener("keydown", function (event) {
    var at = order.indexOf(event.target);
    if (event.key !== "Enter" || at < 0) return;
    event.preventDefault();
    (order[at + 1] || lines).focus();
  });
  form.addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (button && button.classList.contains("sign")) turnSign(boxOf(button));
    if (button && button.classList.contains("letters")) withLetters(boxOf(button));
  });
  // The box keeps the focus, so that the phone's keyboard stays where it is.
  form.addEventListener("pointerdown", function (event) {
    if (event.target.closest(".sign")) event.preventDefault();
  });
  document.getElementById("new-run").addEventListener("click", function () { ask(true); });
  document.getElementById("keep").addEventListener("click", function () { ask(false); });
  document.getElementById("clear").addEventListener("click", clear);
  offer("copy", Boolean(navigator.clipboard && window.isSecureContext), copy);
  offer("share", Boolean(navigator.share), share);
  offer("save", Boolean(window.Blob && window.URL && URL.createObjectURL), save);
  // Two windows of one set, or one that comes back: what was typed in the other stands in it.
  window.addEventListener("pageshow", function (event) {
    if (event.persisted) { recall(); show(); }
  });
  window.addEventListener("storage", function (event) {
    if (event.key === key || event.key === null) { recall(); show(); }
  });
  window.addEventListener("beforeunload", function (event) {
    if (!keeps && linesOfRun()) event.preventDefault();
  });

  recall();
  document.getElementById("without-script").hidden = true;
  form.hidden = false;
  keep();
  show();
})();
