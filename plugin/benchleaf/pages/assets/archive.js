// The filter and the order of the index. Without this script the sets stand there by name, or the newest of them.
(function () {
  "use strict";

  var MOST_SHOWN = 120;
  var FACETS = ["state", "kind", "maker", "decade", "member", "by"];
  var MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  var form = document.getElementById("filter");
  var list = document.getElementById("sets-list");
  if (!form || !list || !form.hidden) return;

  var count = document.getElementById("filter-count");
  var said = count.textContent;
  var rows = Array.prototype.slice.call(list.children);
  var source = form.dataset.sets;
  var items = source ? null : rows.map(ofRow);
  var firstOrder = field("order").value;

  function field(name) { return document.getElementById("filter-" + name); }

  function chosen(name) { var at = field(name); return at ? at.value : ""; }

  // A set that stands on the page.
  function ofRow(row, place) {
    var has = row.dataset;
    return {
      row: row, place: place, state: has.state, kind: has.kind, maker: has.maker, decade: has.decade, by: has.by,
      member: has.member || "",
      year: has.year, dated: has.dated, sought: (row.textContent + " " + has.more).toLowerCase()
    };
  }

  // A set of the list that is loaded beside the page, by position as it was written there.
  function ofData(data) {
    return data.rows.map(function (one, place) {
      var kind = data.kinds[one[5]], state = data.states[one[6]], maker = data.makers[one[7]], by = data.members[one[8]];
      var member = data.members[one[12]];
      return {
        row: null, place: place, data: one, state: state, kind: kind, maker: maker, by: by, member: member, mark: data.marks[state],
        decade: one[9] ? Math.floor(one[9] / 10) * 10 + "s" : "", year: one[9] ? String(one[9]) : "", dated: one[10],
        sought: [one[1], one[2], one[3], one[4], kind, state, by, member, one[11]].join(" ").toLowerCase()
      };
    });
  }

  function day(iso) {
    var at = iso.split("-");
    return iso ? Number(at[2]) + " " + MONTHS[at[1] - 1] + " " + at[0] : "";
  }

  // The row of a set that does not stand on the page: made once, as text and never as HTML.
  function rowOf(item) {
    if (item.row) return item.row;
    var row = document.getElementById("set-row").content.firstElementChild.cloneNode(true);
    var link = row.querySelector(".bl-name a");
    link.setAttribute("href", item.data[0]);
    link.textContent = item.data[1];
    row.querySelector(".bl-made").textContent = item.data[2];
    row.querySelector(".bl-what").textContent = item.data[3];
    row.querySelector(".bl-kind").textContent = item.kind;
    row.querySelector(".bl-types").textContent = item.data[4];
    var state = row.querySelector(".bl-state .bl-verdict");
    state.className = "bl-verdict bl-" + item.mark;
    state.textContent = item.state;
    row.querySelector(".bl-day").textContent = day(item.dated);
    item.row = row;
    return row;
  }

  function fits(item, words) {
    return FACETS.every(function (name) { return !chosen(name) || item[name] === chosen(name); }) &&
      words.every(function (word) { return item.sought.indexOf(word) >= 0; });
  }

  // Sets without a year or a date come last, whichever way the order runs.
  function inOrder(found) {
    var order = chosen("order");
    if (order === "name") return found;
    var downwards = order === "dated" ? -1 : 1;
    return found.slice().sort(function (one, other) {
      var a = one[order], b = other[order];
      if (a === b) return one.place - other.place;
      if (!a || !b) return a ? -1 : 1;
      return (a < b ? -1 : 1) * downwards;
    });
  }

  function words() { return chosen("words").toLowerCase().split(/\s+/).filter(Boolean); }

  function active() { return words().length > 0 || FACETS.some(chosen); }

  function apply() {
    remember();
    if (!items) { if (active() || chosen("order") !== firstOrder) load(); return; }
    if (source && !active() && chosen("order") === firstOrder) { list.replaceChildren.apply(list, rows); count.textContent = said; return; }
    var sought = words();
    var found = items.filter(function (item) { return fits(item, sought); });
    if (source) list.replaceChildren.apply(list, inOrder(found).slice(0, MOST_SHOWN).map(rowOf));
    else items.forEach(function (item) { item.row.hidden = found.indexOf(item) < 0; });
    var cut = source && found.length > MOST_SHOWN ? " The first " + MOST_SHOWN + " are shown." : "";
    count.textContent = active() || cut ? found.length + " of " + items.length + " sets fit." + cut : said;
    letters(found);
  }

  // Where sets all stand on the page, their order changes only when another is asked for: a list that moves
  // between the press of a button and its release loses the click.
  function arrange() {
    if (!source) list.append.apply(list, inOrder(items).map(function (item) { return item.row; }));
  }

  // A letter leads to the first set under it that is shown.
  function letters(found) {
    if (source) return;
    var nav = document.querySelector(".bl-letters");
    if (!nav) return;
    nav.hidden = chosen("order") !== "name";
    nav.querySelectorAll("a").forEach(function (link) {
      var letter = link.dataset.letter;
      var first = found.filter(function (item) { return item.row.dataset.letter === letter; })[0];
      var id = "letter-" + letter.toLowerCase();
      var marked = document.getElementById(id);
      if (marked) marked.removeAttribute("id");
      if (first) first.row.id = id;
      link.toggleAttribute("aria-disabled", !first);
    });
  }

  var loading = false;
  function load() {
    if (loading) return;
    loading = true;
    var script = document.createElement("script");
    script.src = source;
    script.addEventListener("load", function () { items = ofData(window.benchleafSets); apply(); });
    document.head.appendChild(script);
  }

  // The filter stands in the address, so that it can be sent on and is there again after a look at a set.
  function remember() {
    var asked = new URLSearchParams();
    ["words"].concat(FACETS).forEach(function (name) { if (chosen(name)) asked.set(name, chosen(name)); });
    if (chosen("order") !== firstOrder) asked.set("order", chosen("order"));
    var query = asked.toString() ? "?" + asked : "";
    if (query !== location.search) history.replaceState(history.state, "", location.pathname + query + location.hash);
  }

  function recall() {
    var asked = new URLSearchParams(location.search);
    ["words", "order"].concat(FACETS).forEach(function (name) {
      var at = field(name);
      if (!at) return;
      var value = asked.get(name) || (name === "order" ? firstOrder : "");
      at.value = value;
      if (at.value !== value) at.value = name === "order" ? firstOrder : "";
    });
  }

  // Themes fetch their search's index, which a page from a disk may not; Material's own way for that brings a stand-in
  // for a worker. Where the page has no search of a theme, nothing is to be said of it.
  function searchNeedsServer() {
    var ofTheme = document.querySelector("[data-md-component=search], #mkdocs_search_modal, #rtd-search-form");
    return !!ofTheme && !document.querySelector("script[src*=iframe-worker]");
  }

  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("input", function (event) {
    if (event.target.id === "filter-order") arrange();
    apply();
  });
  recall();
  form.hidden = false;
  document.getElementById("opened-as-file").hidden = location.protocol !== "file:" || !searchNeedsServer();
  if (chosen("order") !== firstOrder) arrange();
  apply();
})();
