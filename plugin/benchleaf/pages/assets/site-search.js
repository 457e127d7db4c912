// The search of a site without a generator. It looks through the prepared texts, which a script brings: from a disk
// nothing else may be loaded. Without this script there is no search, and all else is as it is.
(function () {
  "use strict";

  var MOST_PAGES = 30, MOST_SECTIONS = 3, AROUND = 70;
  var form = document.getElementById("bl-search");
  if (!form) return;
  var box = document.getElementById("bl-sought");
  var found = document.getElementById("bl-found");
  var count = document.getElementById("bl-found-count");
  var list = document.getElementById("bl-found-list");
  var pages = null, loading = false;

  function words() { return box.value.toLowerCase().split(/\s+/).filter(Boolean); }

  function has(text, sought) { return sought.every(function (word) { return text.indexOf(word) >= 0; }); }

  // A page by position, as it was written: address, title, sections of id, heading and text.
  function read(row) {
    var sections = row[2].map(function (one) {
      return { id: one[0], heading: one[1], text: one[2], sought: (one[1] + " " + one[2]).toLowerCase() };
    });
    var all = sections.map(function (one) { return one.sought; }).join(" ");
    return { address: row[0], title: row[1], named: row[1].toLowerCase(), sections: sections, sought: row[1].toLowerCase() + " " + all };
  }

  // Pages that have every word; those whose title has them come first, then those that say them together.
  function fitting(sought) {
    var fit = pages.filter(function (page) { return has(page.sought, sought); });
    fit.forEach(function (page) {
      page.together = page.sections.filter(function (one) { return has(one.sought, sought); });
      page.rank = (has(page.named, sought) ? 1000 : 0) + Math.min(page.together.length, 999);
    });
    return fit.sort(function (one, other) { return other.rank - one.rank || (one.named < other.named ? -1 : 1); });
  }

  // The words around the first that is sought, with what is sought marked: text, never HTML.
  function excerpt(text, sought) {
    var line = document.createElement("p"), low = text.toLowerCase();
    var first = Math.min.apply(null, sought.map(function (word) { var at = low.indexOf(word); return at < 0 ? low.length : at; }));
    var from = Math.max(0, first === low.length ? 0 : first - AROUND), to = Math.min(text.length, from + 3 * AROUND), at = from;
    if (from > 0) line.append("… ");
    while (at < to) {
      var next = to, hit = "";
      sought.forEach(function (word) {
        var place = low.indexOf(word, at);
        if (place >= 0 && place < next) { next = place; hit = word; }
      });
      line.append(text.slice(at, next));
      if (hit) {
        var mark = document.createElement("mark");
        mark.textContent = text.slice(next, next + hit.length);
        line.append(mark);
      }
      at = next + (hit ? hit.length : 0);
    }
    if (to < text.length) line.append(" …");
    return line;
  }

  function link(page, section, said) {
    var a = document.createElement("a");
    a.setAttribute("href", form.dataset.root + page.address + (section && section.id ? "#" + section.id : ""));
    a.textContent = said;
    return a;
  }

  function shown(page, sought) {
    var row = document.createElement("li");
    row.append(link(page, null, page.title));
    page.together.slice(0, MOST_SECTIONS).forEach(function (section) {
      var line = excerpt(section.text, sought);
      if (section.heading) line.prepend(link(page, section, section.heading), ": ");
      row.append(line);
    });
    return row;
  }

  function apply() {
    var sought = words();
    found.hidden = !sought.length;
    if (!sought.length) { list.replaceChildren(); count.textContent = ""; return; }
    if (!pages) { load(); return; }
    var fit = fitting(sought);
    list.replaceChildren.apply(list, fit.slice(0, MOST_PAGES).map(function (page) { return shown(page, sought); }));
    var cut = fit.length > MOST_PAGES ? " The first " + MOST_PAGES + " are shown." : "";
    count.textContent = (fit.length === 1 ? "1 page has" : (fit.length || "No") + " pages have") + " these words." + cut;
  }

  function load() {
    if (loading) return;
    loading = true;
    var script = document.createElement("script");
    script.src = form.dataset.texts;
    script.addEventListener("load", function () { pages = window.benchleafTexts.map(read); apply(); });
    document.head.appendChild(script);
  }

  form.addEventListener("submit", function (event) { event.preventDefault(); });
  box.addEventListener("focus", load);
  box.addEventListener("input", apply);
  form.hidden = false;
  if (box.value) apply();
})();
