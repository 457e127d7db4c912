// The search over the sets of all archives. Without this script there are the lists by letter, by tube and by fault.
(function () {
  "use strict";

  var MOST_SHOWN = 120;
  var form = document.getElementById("joined-search");
  var list = document.getElementById("joined-found");
  if (!form || !list || !form.hidden) return;

  var words = document.getElementById("joined-words");
  var club = document.getElementById("joined-club");
  var count = document.getElementById("joined-count");
  var row = document.getElementById("joined-row").content.firstElementChild;
  var sources = Array.prototype.map.call(document.querySelectorAll("#joined-scripts [data-script]"), function (one) {
    return one.dataset.script;
  });
  var items = null, waiting = 0, begun = false;

  function load() {
    if (begun) return;
    begun = true;
    waiting = sources.length;
    sources.forEach(function (source) {
      var script = document.createElement("script");
      script.src = source;
      script.addEventListener("load", done);
      script.addEventListener("error", done);
      document.head.appendChild(script);
    });
  }

  function done() {
    waiting -= 1;
    if (waiting > 0) return;
    items = [];
    var all = window.benchleafJoined || {};
    Object.keys(all).forEach(function (number) {
      all[number].rows.forEach(function (one) {
        items.push({
          club: number, of: all[number].club, one: one,
          sought: [one[1], one[2], one[3], one[4], one[5], all[number].club].join(" ").toLowerCase()
        });
      });
    });
    apply();
  }

  // A link goes to this site or to the web, and nowhere else.
  function leads(address) { return /^(https?:\/\/|\.\.\/)/.test(address); }

  // Made as text and never as HTML: others wrote it.
  function rowOf(item) {
    var made = row.cloneNode(true), link = made.querySelector("a");
    if (leads(item.one[0])) link.setAttribute("href", item.one[0]);
    if (/^https?:/.test(item.one[0])) link.setAttribute("rel", "external noopener noreferrer");
    link.textContent = item.one[1];
    made.querySelector(".bl-made").textContent = item.of;
    made.querySelector(".bl-what").textContent = item.one[2];
    made.querySelector(".bl-types").textContent = item.one[3];
    made.querySelector(".bl-state").textContent = item.one[4];
    return made;
  }

  function apply() {
    var sought = words.value.toLowerCase().split(/\s+/).filter(Boolean);
    if (!sought.length && !club.value) { list.replaceChildren(); count.textContent = ""; return; }
    if (!items) { load(); return; }
    var found = items.filter(function (item) {
      return (!club.value || item.club === club.value) &&
        sought.every(function (word) { return item.sought.indexOf(word) >= 0; });
    });
    list.replaceChildren.apply(list, found.slice(0, MOST_SHOWN).map(rowOf));
    var cut = found.length > MOST_SHOWN ? " The first " + MOST_SHOWN + " are shown." : "";
    count.textContent = found.length + " of " + items.length + " sets fit." + cut;
  }

  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", apply);
  form.hidden = false;
  apply();
})();
